import { justifiedBy } from './justified.js';
import { DAY_MS, HOUR_MS } from './line-site.js';
import type { NaiveDay } from './naive-reading.js';
import type { Expected } from './plant.js';
import type { PlantRun } from './run-plant.js';

/** A naive set-point on the daily mean, as large as that of a lasting step. */
const NAIVE_MOVE_MM = 4;

interface Move {
  readonly takeup: number;
  readonly midMs: number;
  readonly mm: number;
}

function moves({ naive }: PlantRun): Move[] {
  return [...new Set(naive.map(({ takeup }) => takeup))].flatMap((takeup) => {
    const days = naive.filter((day) => day.takeup === takeup).sort((a, b) => a.dayNumber - b.dayNumber);
    return days.slice(1).map((day, i): Move => {
      const before = days[i] as NaiveDay;
      return { takeup, midMs: day.dayNumber * DAY_MS, mm: day.meanMm - before.meanMm };
    });
  });
}

/** Moves of the daily mean that a plain set-point would take for a change, with nothing true to give reason for it. */
export function naiveAlarms(run: PlantRun): number {
  return moves(run).filter(
    ({ midMs, mm }) => Math.abs(mm) >= NAIVE_MOVE_MM && !justifiedBy(run, 'step-unexplained', midMs - 36 * HOUR_MS, midMs + 12 * HOUR_MS),
  ).length;
}

/** Whether the daily mean moved by the set-point on the day of a trouble or on the two after it. */
export function naiveFound(run: PlantRun, { from }: Expected): boolean {
  if (typeof from !== 'number') return false;
  return moves(run).some(({ midMs, mm }) => Math.abs(mm) >= NAIVE_MOVE_MM && midMs >= from - DAY_MS / 2 && midMs <= from + 2.5 * DAY_MS);
}

/** Pitches by the naive reading: what the daily mean moved by from the day before to the second day after, over half a pitch. */
export function naivePitches(run: PlantRun, fromMs: number): number {
  const days = run.naive.filter(({ takeup }) => takeup === 0).sort((a, b) => a.dayNumber - b.dayNumber);
  const before = days.findLast(({ dayNumber }) => (dayNumber + 0.5) * DAY_MS < fromMs);
  const after = days.find(({ dayNumber }) => (dayNumber - 0.5) * DAY_MS > fromMs);
  const conveyor = run.plant.site.conveyors[0];
  if (before === undefined || after === undefined || conveyor === undefined) return 0;
  const { chain, takeups } = conveyor;
  const pitches = ((before.meanMm - after.meanMm) * (takeups[0]?.gain ?? NaN)) / chain.pitchMm;
  return Math.round(pitches / chain.repeatPitches) * chain.repeatPitches;
}
