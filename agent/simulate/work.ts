import type { WorkEntry } from '../contract/service-entry.js';
import type { ForcedStretch } from './forced-stretch.js';

/** Work that is really done on the plant, and what of it gets into the service log. */
export interface PlantWork {
  /** What is done and when: in the form of a service entry, which is what it becomes where it is recorded. */
  readonly entry: WorkEntry;
  readonly record: WorkRecord;
}

/** How work is recorded. */
export type WorkRecord =
  | { readonly how: 'rightly' }
  | { readonly how: 'never' }
  /** The entry says a time so much after the work. */
  | { readonly how: 'late'; readonly byMs: number }
  /** The entry says a wrong count of pitches; a correction follows after a while, or never. */
  | { readonly how: 'wrongly'; readonly pitches: number; readonly correctedAfterMs: number | null };

export const RIGHTLY: WorkRecord = Object.freeze({ how: 'rightly' });
export const NEVER: WorkRecord = Object.freeze({ how: 'never' });

/** An entry without what the calendar and the place fill in. */
type Job = WorkEntry extends infer Entry ? (Entry extends WorkEntry ? Omit<Entry, 'timeMs' | 'conveyor'> : never) : never;

/** A piece of work on a conveyor, by its id. */
export function workOn(conveyor: string, timeMs: number, job: Job, record: WorkRecord = RIGHTLY): PlantWork {
  return { entry: { ...job, conveyor, timeMs }, record };
}

const MINUTE_MS = 60_000;

/** The conveyor stands for the work: from when before it to when after it. Looking, greasing and writing need no stop. */
export function standstillOf({ entry }: PlantWork): ForcedStretch | undefined {
  const stand = (beforeMin: number, afterMin: number): ForcedStretch => ({
    fromMs: entry.timeMs - beforeMin * MINUTE_MS,
    toMs: entry.timeMs + afterMin * MINUTE_MS,
    running: false,
  });
  switch (entry.kind) {
    case 'chain-removed':
    case 'chain-inserted':
      return stand(45, 30);
    case 'chain-replaced':
      return stand(240, 90);
    case 'spring-replaced':
      return stand(30, 20);
    case 'nut-turned':
    case 'sensor-rezeroed':
      return stand(15, 10);
    case 'lubricated':
    case 'inspected':
    case 'service-opened':
    case 'service-closed':
    case 'note':
      return undefined;
  }
}
