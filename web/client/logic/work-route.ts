/** The screens of the work: what is to be done, planned, carried along, written down and reported. */
export type WorkRoute =
  | { readonly screen: 'work' }
  | { readonly screen: 'service-log' }
  | { readonly screen: 'plan'; readonly conveyor: string; readonly takeup: string }
  | { readonly screen: 'card'; readonly card: string }
  | { readonly screen: 'report'; readonly conveyor: string };

/**
 * @param screen - the first part of the address
 * @param rest - the parts after it, decoded
 * @returns undefined where it is no screen of the work
 */
export function parseWorkRoute(screen: string, rest: readonly string[]): WorkRoute | undefined {
  const [first, second, third, more] = rest;
  if (screen === 'report') return first && second === undefined ? { screen: 'report', conveyor: first } : undefined;
  if (screen !== 'work') return undefined;
  if (first === undefined) return { screen: 'work' };
  if (first === 'log' && second === undefined) return { screen: 'service-log' };
  if (first === 'plan' && second && third && more === undefined) return { screen: 'plan', conveyor: second, takeup: third };
  if (first === 'card' && second && third === undefined) return { screen: 'card', card: second };
  return undefined;
}

export function planHref(conveyor: string, takeup: string): string {
  return `#/work/plan/${encodeURIComponent(conveyor)}/${encodeURIComponent(takeup)}`;
}

export function cardHref(card: string): string {
  return `#/work/card/${encodeURIComponent(card)}`;
}

export function reportHref(conveyor: string): string {
  return `#/report/${encodeURIComponent(conveyor)}`;
}
