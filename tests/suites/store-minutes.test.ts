import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { MinuteOutput } from '../../agent/flow/output.js';
import type { HistoryPoint } from '../../agent/store/history.js';
import { figuresOf, HOUR_MS, minute, MINUTE_MS, START_MS } from '../store/samples.js';
import { TWINS } from '../store/store-twins.js';

const TAKEUP = { conveyor: 'enamel', takeup: 'tu1' };

/** So many minutes in a row, the carriage breathing in each. */
function inARow(count: number, fromMs = START_MS): readonly MinuteOutput[] {
  return Array.from({ length: count }, (_, i) => minute({ timeMs: fromMs + i * MINUTE_MS, minMm: 60 + (i % 7), maxMm: 63 + (i % 11) }));
}

function known(points: readonly (HistoryPoint | null)[]): readonly HistoryPoint[] {
  return points.filter((point) => point !== null);
}

describe.each(TWINS)('the history of a take-up in $name', ({ make }) => {
  it('shows minutes as they are where there is room for them', async () => {
    const store = make();
    const writer = await store.writer();
    await writer.writeOutputs({ minutes: inARow(5) });
    const reader = await store.reader();
    const { widthMs, points } = await reader.minutes({ ...TAKEUP, fromMs: START_MS, toMs: START_MS + 5 * MINUTE_MS, maxPoints: 400 });
    expect(widthMs).toBe(MINUTE_MS);
    expect(points).toEqual(inARow(5).map(figuresOf));
  });

  it('keeps a single jump in a year', async () => {
    const store = make();
    const writer = await store.writer();
    const jump = minute({ timeMs: START_MS + 200 * 24 * HOUR_MS, maxMm: 199, springMinMm: 151 });
    await writer.writeOutputs({ minutes: [...inARow(600), jump, ...inARow(600, START_MS + 364 * 24 * HOUR_MS)] });
    const reader = await store.reader();
    const { points } = await reader.minutes({ ...TAKEUP, fromMs: START_MS, toMs: START_MS + 365 * 24 * HOUR_MS, maxPoints: 200 });
    expect(points.length).toBeLessThanOrEqual(200);
    expect(Math.max(...known(points).map(({ maxMm }) => maxMm ?? NaN))).toBe(199);
    expect(Math.min(...known(points).map(({ springMinMm }) => springMinMm ?? NaN))).toBe(151);
  });

  it('breaks the line where nothing was read, once a gap', async () => {
    const store = make();
    const writer = await store.writer();
    await writer.writeOutputs({ minutes: [...inARow(2), ...inARow(1, START_MS + 30 * MINUTE_MS)] });
    const reader = await store.reader();
    const { points } = await reader.minutes({ ...TAKEUP, fromMs: START_MS, toMs: START_MS + HOUR_MS, maxPoints: 100 });
    expect(points.map((point) => point && (point.timeMs - START_MS) / MINUTE_MS)).toEqual([0, 1, null, 30]);
  });

  it('joins what is read every five minutes where the signal is meant to be', async () => {
    const store = make();
    const writer = await store.writer();
    await writer.writeOutputs({ minutes: [0, 5, 10, 30].map((i) => minute({ timeMs: START_MS + i * MINUTE_MS })) });
    const reader = await store.reader();
    const query = { ...TAKEUP, fromMs: START_MS, toMs: START_MS + HOUR_MS, maxPoints: 100, gapMs: 5 * MINUTE_MS };
    const { points } = await reader.minutes(query);
    expect(points.map((point) => point && (point.timeMs - START_MS) / MINUTE_MS)).toEqual([0, 5, 10, null, 30]);
  });

  it('weighs means by their readings and leaves unknown minutes out of them', async () => {
    const store = make();
    const writer = await store.writer();
    const minutes = [
      minute({ count: 10, meanMm: 60, tensionN: 600 }),
      minute({ timeMs: START_MS + MINUTE_MS, count: 30, meanMm: 64, tensionN: NaN }),
    ];
    await writer.writeOutputs({ minutes });
    const reader = await store.reader();
    const { points } = await reader.minutes({ ...TAKEUP, fromMs: START_MS, toMs: START_MS + HOUR_MS, maxPoints: 2 });
    expect(points).toMatchObject([{ count: 40, meanMm: 63, tensionN: 600 }]);
  });

  it('shows a picture that is moved along in the same buckets', async () => {
    const store = make();
    const writer = await store.writer();
    await writer.writeOutputs({ minutes: inARow(600) });
    const reader = await store.reader();
    const picture = async (fromMs: number) => {
      const { points } = await reader.minutes({ ...TAKEUP, fromMs, toMs: fromMs + 8 * HOUR_MS, maxPoints: 60 });
      return points;
    };
    const [here, further] = [await picture(START_MS), await picture(START_MS + 27 * MINUTE_MS)];
    expect(further.slice(0, 10)).toEqual(here.slice(3, 13));
  });

  it('is empty for a take-up that it does not know, and for a range that has no length', async () => {
    const store = make();
    const writer = await store.writer();
    await writer.writeOutputs({ minutes: inARow(5) });
    const reader = await store.reader();
    const range = { fromMs: START_MS, toMs: START_MS + HOUR_MS, maxPoints: 100 };
    expect((await reader.minutes({ conveyor: 'enamel', takeup: 'tu9', ...range })).points).toEqual([]);
    expect((await reader.minutes({ ...TAKEUP, ...range, toMs: START_MS })).points).toEqual([]);
    await expect(reader.minutes({ ...TAKEUP, ...range, maxPoints: 1 })).rejects.toThrow(RangeError);
  });

  it('keeps every extreme, in no more points than asked for, whatever the range', async () => {
    const store = make();
    const writer = await store.writer();
    const reader = await store.reader();
    let takeups = 0;
    const anyMinutes = fc.uniqueArray(fc.record({ at: fc.nat(3000), low: fc.integer({ min: 0, max: 100 }), range: fc.nat(50) }), {
      selector: ({ at }) => at,
      maxLength: 60,
    });
    const anyRange = fc.record({
      from: fc.nat(3000),
      length: fc.integer({ min: 1, max: 20_000 }),
      maxPoints: fc.integer({ min: 2, max: 500 }),
    });
    await fc.assert(
      fc.asyncProperty(anyMinutes, anyRange, async (some, { from, length, maxPoints }) => {
        const takeup = `tu${++takeups}`;
        const minutes = some.map(({ at, low, range }) =>
          minute({ takeup, timeMs: START_MS + at * MINUTE_MS, count: 1, minMm: low, maxMm: low + range, meanMm: low + range / 2 }),
        );
        // In two pieces, as they come while a day goes on.
        await writer.writeOutputs({ minutes: minutes.slice(0, 30) });
        await writer.writeOutputs({ minutes: minutes.slice(20) });
        const [fromMs, toMs] = [START_MS + from * MINUTE_MS, START_MS + (from + length) * MINUTE_MS];
        const { widthMs, points } = await reader.minutes({ conveyor: 'enamel', takeup, fromMs, toMs, maxPoints });
        expect(points.length).toBeLessThanOrEqual(maxPoints);

        const edge = (ms: number, round: (ratio: number) => number) => round(ms / widthMs) * widthMs;
        const inRange = minutes.filter(({ timeMs }) => timeMs >= edge(fromMs, Math.floor) && timeMs < edge(toMs, Math.ceil));
        const starts = [...new Set(inRange.map(({ timeMs }) => edge(timeMs, Math.floor)))].sort((a, b) => a - b);
        const expected = starts.map((start) => {
          const inside = inRange.filter(({ timeMs }) => edge(timeMs, Math.floor) === start);
          return [start, inside.length, Math.min(...inside.map(({ minMm }) => minMm)), Math.max(...inside.map(({ maxMm }) => maxMm))];
        });
        expect(known(points).map(({ timeMs, count, minMm, maxMm }) => [timeMs, count, minMm, maxMm])).toEqual(expected);
      }),
      { numRuns: 150 },
    );
  });
});
