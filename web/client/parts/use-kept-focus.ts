import { useLayoutEffect, useRef } from 'preact/hooks';
import type { RefObject } from 'preact';

/**
 * For a part of a page whose buttons go, or are moved, by being pressed: whoever stood on one stands afterwards on the heading of what it
 * belonged to, else of the item that took its place in the list, else of the section, else of the page. The browser would put them
 * back to the top of the page, where a keyboard begins anew and nothing is read out.
 *
 * The component that uses it must be the one that draws the change.
 *
 * @returns what to put on the part's element
 */
export function useKeptFocus<T extends HTMLElement>(): RefObject<T | null> {
  const area = useRef<T>(null);
  // Looked at while the page is drawn, when what is about to go is there still.
  const stood = standIn(area.current);
  useLayoutEffect(() => {
    if (stood !== undefined && document.activeElement === document.body) nextTo(stood, area.current)?.focus();
  });
  return area;
}

/** Where somebody stands in a part of a page. */
interface Stand {
  readonly element: HTMLElement;
  readonly item: Element | null;
  readonly list: Element | null;
  /** Of the item in its list. */
  readonly index: number;
  readonly section: Element | null;
}

function standIn(area: HTMLElement | null): Stand | undefined {
  const element = document.activeElement;
  if (!(element instanceof HTMLElement) || area?.contains(element) !== true) return undefined;
  const item = element.closest('li');
  const list = item?.parentElement ?? null;
  return {
    element,
    item,
    list,
    index: item === null ? -1 : [...(list?.children ?? [])].indexOf(item),
    section: element.closest('section'),
  };
}

function nextTo({ element, item, list, index, section }: Stand, area: HTMLElement | null): HTMLElement | undefined {
  // It was only moved: so is the focus.
  if (element.isConnected && !element.matches(':disabled')) return element;
  const after = list?.isConnected === true ? (list.children[index] ?? list.lastElementChild) : null;
  const places = [item?.isConnected === true ? item : null, after, section?.isConnected === true ? section : null, area, document.body];
  return places.map(toStandOn).find((place) => place !== undefined);
}

/** A heading, or an item that has none, is not in the order of the keyboard, but can be stood on. */
function toStandOn(place: Element | null): HTMLElement | undefined {
  const found = place?.querySelector<HTMLElement>('h1, h2, h3, h4') ?? (place instanceof HTMLLIElement ? place : undefined);
  if (found !== undefined) found.tabIndex = -1;
  return found;
}
