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
  | { readonly screen: 'wall' }
  | { readonly screen: 'nowhere' };

/** The parts of the set-up screen, the first of them shown where none is named. */
export const SET_UP_PARTS = ['signals', 'springs', 'site-file', 'on-call'] as const;
export type SetUpPart = (typeof SET_UP_PARTS)[number];

/** @param hash - as the browser has it: empty, or from `#` on */
export function parseRoute(hash: string): Route {
  const [screen, ...rest] = hash
    .replace(/^#\/?/, '')
    .split('/')
    .map((part) => decode(part));
  if (screen === '' || screen === undefined) return { screen: 'floor' };
  if (screen === 'alarms' && rest.join('/') === 'judged') return { screen: 'alarms-judged' };
  if (screen === 'takeup') {
    const [conveyor, takeup, more] = rest;
    if (conveyor && takeup && more === undefined) return { screen: 'takeup', conveyor, takeup };
  } else if (screen === 'set-up') {
    const [part = 'signals', more] = rest;
    const known = SET_UP_PARTS.find((one) => one === part);
    if (known !== undefined && more === undefined) return { screen, part: known };
  } else if ((screen === 'alarms' || screen === 'bench' || screen === 'people' || screen === 'wall') && rest.length === 0)
    return { screen };
  return parseWorkRoute(screen, rest) ?? { screen: 'nowhere' };
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
