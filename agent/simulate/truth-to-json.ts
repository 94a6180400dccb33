import { formatTime } from '../units/time.js';
import type { PlantTruth, TruthNow } from './truth.js';

/** Decimals enough for a check, few enough to read. */
const DECIMALS = 6;

/** The truth as it is written beside a recording: times as ISO 8601 UTC, keys as in `PlantTruth` without `Ms`. */
export function truthToJson({ days, steps, faults, now }: PlantTruth): Record<string, unknown> {
  return {
    now: now.map((one) => rounded(withTimes(one, ['timeMs', 'strokeOutMs', 'wearLimitMs']))),
    steps: steps.map((step) => ({ ...withTimes(step, ['timeMs']), moveMm: rounded(step.moveMm) })),
    faults: faults.map((fault) => withTimes(fault, ['fromMs', 'toMs'])),
    days: days.map(rounded),
  };
}

type TimeKey = Extract<keyof TruthNow, `${string}Ms`> | 'fromMs' | 'toMs';

/** The same with times as text, under their names without `Ms`, in their places. */
function withTimes(part: object, keys: readonly TimeKey[]): Record<string, unknown> {
  return Object.fromEntries(
    Object.entries(part as Readonly<Record<string, unknown>>).map(([key, value]) =>
      keys.includes(key as TimeKey) ? [key.slice(0, -2), typeof value === 'number' ? formatTime(value) : null] : [key, value],
    ),
  );
}

function rounded(part: object): Record<string, unknown> {
  return Object.fromEntries(
    Object.entries(part as Readonly<Record<string, unknown>>).map(([key, value]) => [
      key,
      typeof value === 'number' ? Number(value.toFixed(DECIMALS)) : value,
    ]),
  );
}
