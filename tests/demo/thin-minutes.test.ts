import { describe, expect, it } from 'vitest';
import { hourly, hourlyTemperatures } from '../../agent/demo/thin-minutes.js';
import type { TemperatureOutput } from '../../agent/flow/output.js';
import { HOUR_MS, minute, MINUTE_MS, START_MS } from '../store/samples.js';

const NEVER_MS = Infinity;

function temperature(over: Partial<TemperatureOutput>): TemperatureOutput {
  const warmth = { count: 60, minC: 20, maxC: 24, meanC: 22, chainC: NaN };
  return { kind: 'temperature', conveyor: 'enamel', signal: 'enamel/zone', timeMs: START_MS, ...warmth, ...over };
}

describe('minutes of long ago', () => {
  it('are one hour each take-up: extremes kept, means weighed by their readings, the readings counted', () => {
    const minutes = [
      minute({ timeMs: START_MS + MINUTE_MS, count: 30, minMm: 60, maxMm: 63, meanMm: 61, springMinMm: 247, tensionN: 600 }),
      minute({ timeMs: START_MS + 2 * MINUTE_MS, takeup: 'tu2' }),
      minute({ timeMs: START_MS + 3 * MINUTE_MS, count: 90, minMm: 59, maxMm: 62, meanMm: 65, springMinMm: 246, tensionN: 640 }),
      minute({ timeMs: START_MS + HOUR_MS, meanMm: 66 }),
    ];
    const hours = hourly(minutes, NEVER_MS);
    expect(hours.map(({ takeup, timeMs }) => [takeup, (timeMs - START_MS) / HOUR_MS])).toEqual([
      ['tu1', 0],
      ['tu2', 0],
      ['tu1', 1],
    ]);
    expect(hours[0]).toEqual(minute({ count: 120, minMm: 59, maxMm: 63, meanMm: 64, springMinMm: 246, tensionN: 630 }));
  });

  it('leave a tension out that was not known, and know it where one minute did', () => {
    const unknown = { tensionN: NaN, tensionMinN: NaN, tensionMaxN: NaN };
    const known = { tensionN: 640, tensionMinN: 611, tensionMaxN: 668 };
    for (const [first, second] of [
      [unknown, known],
      [known, unknown],
    ] as const) {
      const [hour] = hourly([minute(first), minute({ ...second, timeMs: START_MS + MINUTE_MS })], NEVER_MS);
      expect(hour).toMatchObject(known);
    }
    expect(hourly([minute(unknown), minute(unknown)], NEVER_MS)[0]).toMatchObject(unknown);
  });

  it('stay what they are from a time on, and in the list they came in', () => {
    const minutes = Array.from({ length: 4 }, (_, i) => minute({ timeMs: START_MS + i * MINUTE_MS, meanMm: i }));
    const asTheyWere = structuredClone(minutes);
    expect(hourly(minutes, START_MS + 2 * MINUTE_MS).map(({ meanMm, count }) => [meanMm, count])).toEqual([
      [0.5, 240],
      [2, 120],
      [3, 120],
    ]);
    expect(minutes).toEqual(asTheyWere);
  });
});

describe('temperatures of long ago', () => {
  it('are one hour each signal, with how warm the chain was at its end', () => {
    const hours = hourlyTemperatures(
      [
        temperature({ chainC: 30 }),
        temperature({ timeMs: START_MS + MINUTE_MS, signal: 'enamel/ambient' }),
        temperature({ timeMs: START_MS + MINUTE_MS, count: 20, minC: 18, maxC: 23, meanC: 18, chainC: 31 }),
      ],
      NEVER_MS,
    );
    expect(hours).toEqual([
      temperature({ count: 80, minC: 18, maxC: 24, meanC: 21, chainC: 31 }),
      temperature({ signal: 'enamel/ambient' }),
    ]);
  });
});
