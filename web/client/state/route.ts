import { signal } from '@preact/signals';
import { parseRoute, type Route } from '../logic/route.js';

/** The screen that the address names. */
export const route = signal<Route>(parseRoute(location.hash));

addEventListener('hashchange', () => {
  route.value = parseRoute(location.hash);
});
