import type { WorkEntry } from '../../agent/contract/service-entry.js';
import type { SideName } from '../../agent/site/site.js';
import { RIGHTLY, type PlantWork, type WorkRecord } from '../../agent/simulate/work.js';

/** Work on the one conveyor of a plant of the score. */

const LINE = { conveyor: 'line' } as const;

export function removal(timeMs: number, pitches: number, record: WorkRecord = RIGHTLY): PlantWork {
  return { entry: { ...LINE, kind: 'chain-removed', timeMs, pitches }, record };
}

export function insertion(timeMs: number, pitches: number, record: WorkRecord = RIGHTLY): PlantWork {
  return { entry: { ...LINE, kind: 'chain-inserted', timeMs, pitches }, record };
}

export function replacement(timeMs: number, pitches: number, record: WorkRecord = RIGHTLY): PlantWork {
  return { entry: { ...LINE, kind: 'chain-replaced', timeMs, pitches }, record };
}

export function nutTurn(timeMs: number, side: SideName, turns: number, record: WorkRecord = RIGHTLY, takeup = 'tu1'): PlantWork {
  return { entry: { ...LINE, kind: 'nut-turned', timeMs, takeup, side, turns }, record };
}

/** Both nuts by as much, a few minutes apart. */
export function bothNuts(timeMs: number, turns: number, record: WorkRecord = RIGHTLY, takeup = 'tu1'): PlantWork[] {
  return [nutTurn(timeMs, 'left', turns, record, takeup), nutTurn(timeMs + 300_000, 'right', turns, record, takeup)];
}

export function rezero(timeMs: number, side: SideName, positionMm: number, record: WorkRecord = RIGHTLY): PlantWork {
  return { entry: { ...LINE, kind: 'sensor-rezeroed', timeMs, takeup: 'tu1', side, positionMm }, record };
}

export function other(entry: WorkEntry, record: WorkRecord = RIGHTLY): PlantWork {
  return { entry, record };
}
