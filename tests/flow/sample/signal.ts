import type { Signal } from '../../../agent/site/site.js';

/** A signal read once a second, lost after 30 s; with what the test says otherwise. */
export function signalOf(own: Partial<Signal> = {}): Signal {
  const periodS = own.periodS ?? 1;
  return {
    name: 'line/tu1/left/position',
    quantity: 'position',
    topic: 'takeline/site/in/line/tu1/left/position',
    unit: 'mm',
    periodS,
    lostAfterMs: Math.max(30, 10 * periodS) * 1000,
    ...own,
  };
}
