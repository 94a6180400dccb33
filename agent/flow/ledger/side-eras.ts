import type { SideName, Takeup } from '../../site/site.js';
import type { NutSet, SideSetting } from '../takeup/spring-state.js';
import type { PlacedEntry } from './placed-entry.js';

/** How a side's spring stands from a time on. */
export interface SideEra extends SideSetting {
  readonly fromMs: number;
  /** By how much all re-zeroings so far moved the side's scale, in mm. */
  readonly shiftMm: number;
}

/**
 * The history of one side's nut and spring, from the site's `set` and the service entries, in order of their effect.
 * A turn of lead s compresses the spring by s: L_set falls by z·s. A measured length is set against the carriage as it stood.
 */
export function sideEras(takeup: Takeup, side: SideName, entries: readonly PlacedEntry[]): SideEra[] {
  const { set } = takeup.sides[side];
  const eras: SideEra[] = [
    { fromMs: -Infinity, set: { positionMm: set.positionMm, springMm: set.springMm }, spring: takeup.spring, shiftMm: 0 },
  ];
  for (const { entry, atMs, anchor } of entries) {
    const last = eras[eras.length - 1] as SideEra;
    if (!('side' in entry) || entry.side !== side || entry.takeup !== takeup.id) continue;
    const sideMm = Number.isFinite(anchor?.sideMm) ? (anchor as { sideMm: number }).sideMm : last.set.positionMm;
    if (entry.kind === 'nut-turned') {
      const next: NutSet =
        entry.springMm === undefined
          ? { ...last.set, springMm: last.set.springMm - (entry.turns ?? 0) * (takeup.nutLeadMm ?? 0) }
          : { positionMm: sideMm, springMm: entry.springMm };
      eras.push({ ...last, fromMs: atMs, set: next });
    } else if (entry.kind === 'spring-replaced') {
      eras.push({ ...last, fromMs: atMs, spring: entry.spring, set: { positionMm: sideMm, springMm: entry.springMm } });
    } else {
      const shift = Number.isFinite(anchor?.sideMm) ? entry.positionMm - sideMm : 0;
      const moved = { ...last.set, positionMm: last.set.positionMm + shift };
      eras.push({ ...last, fromMs: atMs, set: moved, shiftMm: last.shiftMm + shift });
    }
  }
  return eras;
}

/** The last era that has begun at a time. */
export function eraAt<E extends { readonly fromMs: number }>(eras: readonly E[], timeMs: number): E {
  for (let i = eras.length - 1; i > 0; i--) {
    const era = eras[i] as E;
    if (era.fromMs <= timeMs) return era;
  }
  return eras[0] as E;
}
