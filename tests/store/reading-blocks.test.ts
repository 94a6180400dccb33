import Database from 'better-sqlite3';
import fc from 'fast-check';
import { describe, expect, it, onTestFinished } from 'vitest';
import { migrate } from '../../agent/store/migrate.js';
import { BLOCK_READINGS, type BlockHead, HEAD_LIST, ReadingBlocks } from '../../agent/store/reading-blocks.js';
import { ReadingQuery } from '../../agent/store/reading-query.js';
import { MIGRATIONS } from '../../agent/store/schema.js';
import { rowsOf, START_MS } from './samples.js';

type Reading = readonly [timeMs: number, value: number];
const DAY_MS = 86_400_000;

function shelf() {
  const db = new Database(':memory:');
  onTestFinished(() => {
    db.close();
  });
  migrate(db, MIGRATIONS);
  db.exec("INSERT INTO signal VALUES (1, 'left')");
  const blocks = new ReadingBlocks(db);
  return {
    put: (readings: readonly Reading[], takenMs = START_MS) => {
      const columns = { timeMs: Float64Array.from(readings, ([time]) => time), value: Float64Array.from(readings, ([, value]) => value) };
      blocks.merge(1, columns, takenMs);
    },
    heads: () => db.prepare<[], BlockHead>(`SELECT ${HEAD_LIST} FROM reading_block ORDER BY from_ms, to_ms, id`).all(),
    between: (fromMs: number, toMs: number): readonly Reading[] =>
      [...new ReadingQuery(db).stretches(new Map([[1, 0]]), { fromMs, toMs })].flatMap((columns) =>
        rowsOf(columns).map(([, time, value]) => [time!, value!] as const),
      ),
  };
}

/** In order of time, as text: thousands of pairs are compared quickly. */
function sorted(readings: readonly Reading[]): string {
  return readings
    .toSorted(([a, x], [b, y]) => a - b || x - y)
    .map(([time, value]) => `${time} ${value}`)
    .join('\n');
}

describe('blocks of readings', () => {
  it('hold what was put in, each where it belongs in time, whatever came late', () => {
    const timeMs = fc.oneof(
      { weight: 3, arbitrary: fc.nat(5_000_000) },
      { weight: 1, arbitrary: fc.integer({ min: -40, max: 40 }).map((days) => days * DAY_MS) },
    );
    const stretch = fc.tuple(timeMs, fc.integer({ min: 1, max: 2500 }), fc.constantFrom(0, 1, 100, 1000));
    fc.assert(
      fc.property(fc.array(stretch, { maxLength: 12 }), (stretches) => {
        const { put, between, heads } = shelf();
        let value = 0;
        const batches = stretches.map(([at, count, step]) =>
          Array.from({ length: count }, (_, i) => [START_MS + at + i * step, value++] as const),
        );
        for (const batch of batches) put(batch);
        const found = between(START_MS - 100 * DAY_MS, START_MS + 100 * DAY_MS);
        expect(sorted(found)).toBe(sorted(batches.flat()));
        expect(found.every(([timeMs], i) => timeMs >= (found[i - 1]?.[0] ?? -Infinity))).toBe(true);
        for (const { count } of heads()) expect(count).toBeLessThanOrEqual(BLOCK_READINGS);
        heads().forEach(({ fromMs }, i) => {
          expect(heads()[i - 1]?.toMs ?? fromMs).toBeLessThanOrEqual(fromMs);
        });
      }),
      {
        numRuns: 25,
        // Thousands of readings a run: what failed is told as it is, not looked for in smaller ones.
        endOnFailure: true,
        // Thousands of one instant, and blocks that begin where others end.
        examples: [
          [
            [
              [0, 1840, 0],
              [0, 2255, 0],
              [2 * DAY_MS, 1, 0],
              [DAY_MS, 2, 0],
              [0, 1, 0],
            ],
          ],
        ],
      },
    );
  });

  it('are found by any stretch of time', () => {
    const { put, between } = shelf();
    const all = Array.from({ length: 20_000 }, (_, i) => [START_MS + i * 977 + (i % 5000 === 0 ? 40_000_000 : 0), i] as const);
    put(all);
    fc.assert(
      fc.property(fc.nat(70_000_000), fc.nat(70_000_000), (a, b) => {
        const [fromMs, toMs] = [START_MS + Math.min(a, b), START_MS + Math.max(a, b)];
        expect(sorted(between(fromMs, toMs))).toBe(sorted(all.filter(([time]) => time >= fromMs && time < toMs)));
      }),
      { numRuns: 30 },
    );
  });

  it('fill up: what comes bit by bit takes no more of them than what comes at once', () => {
    const { put, heads } = shelf();
    for (let i = 0; i < 200; i++) put(Array.from({ length: 50 }, (_, k) => [START_MS + (i * 50 + k) * 1000, k] as const));
    expect(heads().map(({ count }) => count)).toEqual([BLOCK_READINGS, BLOCK_READINGS, 10_000 - 2 * BLOCK_READINGS]);
  });

  it('are as old as their readings, but as when those were taken where the clock was far off', () => {
    const { put, heads } = shelf();
    put([[START_MS, 1]]);
    put([[START_MS + 3_155_760_000_000, 2]]);
    put([[0, 3]]);
    for (const { ageMs } of heads()) expect(ageMs).toBe(START_MS);
  });
});
