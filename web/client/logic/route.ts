import { parseWorkRoute, type WorkRoute } from './work-route.js';

/** A screen and what it shows, as the part of the address after `#`. */
export type Route =
  | { readonly screen: 'floor' }
  | { readonly screen: 'takeup'; readonly conveyor: string; readonly takeup: string }
  | { readonly screen: 'alarms' }
  | { readonly screen: 'bench' }
  | { readonly screen: 'alarms-judged' }
  | { readonly screen: 'people' }
  | WorkRoute
  | { readonly screen: 'set-up'; readonly part: SetUpPart }
  | { readonly screen: 'wall'; readonly pageMs: number }
  | { readonly screen: 'nowhere' };

/** The parts of the set-up screen, the first of them shown where none is named. */
export const SET_UP_PARTS = ['signals', 'as-read', 'springs', 'loop', 'site-file', 'on-call', 'disk'] as const;
export type SetUpPart = (typeof SET_UP_PARTS)[number];

/** A wall shows a page for so long where its address does not say otherwise: `#/wall?page=40` takes 40 seconds. */
const PAGE_S = 15;
const LEAST_PAGE_S = 2;
const MOST_PAGE_S = 3600;

/** @param hash - as the browser has it: empty, or from `#` on */
export function parseRoute(hash: string): Route {
  const [path = '', query = ''] = hash.replace(/^#\/?/, '').split('?');
  const [screen, ...rest] = path.split('/').map((part) => decode(part));
  if (screen === '' || screen === undefined) return { screen: 'floor' };
  if (screen === 'alarms' && rest.join('/') === 'judged') return { screen: 'alarms-judged' };
  if (screen === 'takeup') {
    const [conveyor, takeup, more] = rest;
    if (conveyor && takeup && more === undefined) return { screen: 'takeup', conveyor, takeup };
  } else if (screen === 'set-up') {
    const [part = 'signals', more] = rest;
    const known = SET_UP_PARTS.find((one) => one === part);
    if (known !== undefined && more === undefined) return { screen, part: known };
  } else if (screen === 'wall' && rest.length === 0) return { screen, pageMs: pageMsOf(new URLSearchParams(query).get('page')) };
  else if ((screen === 'alarms' || screen === 'bench' || screen === 'people') && rest.length === 0) return { screen };
  return parseWorkRoute(screen, rest) ?? { screen: 'nowhere' };
}

/** What is no sensible number of seconds is taken for the usual one: a wall has nobody to tell. */
function pageMsOf(text: string | null): number {
  const seconds = text === null || text === '' ? PAGE_S : Number(text);
  return 1000 * (seconds >= LEAST_PAGE_S && seconds <= MOST_PAGE_S ? seconds : PAGE_S);
}

/** The address of a take-up's screen. */
export function takeupHref(conveyor: string, takeup: string): string {
  return `#/takeup/${encodeURIComponent(conveyor)}/${encodeURIComponent(takeup)}`;
}

/** An address that is half a percent sign is somebody's typing, not a fault of ours. */
function decode(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}
