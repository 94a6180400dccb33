import { useEffect, useRef, useState } from 'preact/hooks';
import type { RefObject } from 'preact';
import { printing } from '../state/printing.js';

/** What is about to be scrolled into view is drawn already. */
const AHEAD = '240px';

/** Who is told when an element comes near the view, or goes. */
const waiting = new WeakMap<Element, (near: boolean) => void>();
let observer: IntersectionObserver | undefined;

/**
 * Whether an element is in view, or near it, or goes on paper: of hundreds of drawings only those that can be seen are worth the work.
 *
 * @returns what to put on the element, and whether it is near; not, until the browser has looked
 */
export function useNear<T extends Element>(): readonly [RefObject<T | null>, boolean] {
  const element = useRef<T>(null);
  const [near, setNear] = useState(false);
  useEffect(() => {
    const { current } = element;
    if (current === null) return undefined;
    observer ??= new IntersectionObserver(tell, { rootMargin: AHEAD });
    waiting.set(current, setNear);
    observer.observe(current);
    return () => observer?.unobserve(current);
  }, []);
  return [element, near || printing.value];
}

function tell(entries: readonly IntersectionObserverEntry[]): void {
  for (const { target, isIntersecting } of entries) waiting.get(target)?.(isIntersecting);
}
