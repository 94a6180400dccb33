import type { CarriageState } from './conveyor-state.js';
import type { ChainTrouble } from './trouble.js';

/** The troubles that last over a stretch of time. */
export type Lasting = readonly ChainTrouble[];

/** How many times as fast as usual the chain wears. */
export function timesWorn(lasting: Lasting): number {
  return lasting.reduce((times, trouble) => (trouble.kind === 'wear-fast' ? times * trouble.times : times), 1);
}

/** mm of chain that a catch has pulled in after so many more running hours. */
export function caughtAfter(caughtMm: number, hours: number, lasting: Lasting): number {
  return lasting.reduce(
    (mm, trouble) => (trouble.kind === 'chain-caught' ? Math.min(trouble.mostChainMm, mm + trouble.chainMmPerMin * 60 * hours) : mm),
    caughtMm,
  );
}

/** mm of chain that have come free at a time. */
export function cameFreeMm(lasting: Lasting, timeMs: number): number {
  let sum = 0;
  for (const trouble of lasting) {
    if (trouble.kind === 'chain-slack') sum += trouble.chainMm * shareDone(trouble, timeMs);
  }
  return sum;
}

/** The share of their way to the outer stop that a parted chain has let the carriages go. */
export function partedShare(lasting: Lasting, timeMs: number): number {
  let share = 0;
  for (const trouble of lasting) if (trouble.kind === 'chain-parted') share = Math.max(share, shareDone(trouble, timeMs));
  return share;
}

function shareDone({ fromMs, withinS }: { readonly fromMs: number; readonly withinS: number }, timeMs: number): number {
  return Math.min(1, (timeMs - fromMs) / (1000 * withinS));
}

/** What dragging guides and tired springs have made of a carriage after so much running, and so much time. */
export function carriageAfter(carriage: CarriageState, takeup: string, hours: number, days: number, lasting: Lasting): CarriageState {
  let after = carriage;
  for (const trouble of lasting) {
    if (!('takeup' in trouble) || trouble.takeup !== takeup) continue;
    if (trouble.kind === 'guide-dragging') {
      const dragMm = Math.min(Math.abs(after.dragMm) + (trouble.mmPerDay * hours) / 24, trouble.mostMm);
      after = { ...after, dragMm: trouble.side === 'left' ? -dragMm : dragMm };
    } else if (trouble.kind === 'spring-relaxing') {
      const side = after[trouble.side];
      after = { ...after, [trouble.side]: { ...side, sagMm: side.sagMm + trouble.mmPerDay * days } };
    }
  }
  return after;
}

/** Share of its breathing that a take-up has left. */
export function breathingShare(lasting: Lasting, takeup: string): number {
  for (const trouble of lasting) if (trouble.kind === 'guide-seized' && trouble.takeup === takeup) return trouble.breathingShare;
  return 1;
}
