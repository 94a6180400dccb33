import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { JournalFeed } from '../../agent/live/journal-feed.js';
import type { ReadingColumns } from '../../agent/store/journal.js';

const valuesOf = ({ count, value }: ReadingColumns): readonly number[] => [...value.subarray(0, count)];

describe('readings that wait for the journal', () => {
  it('come out in the order in which they came, and those put back before all that came since', () => {
    fc.assert(
      fc.property(fc.nat({ max: 3000 }), fc.nat({ max: 3000 }), (first, second) => {
        const feed = new JournalFeed();
        for (let i = 0; i < first; i++) feed.push(i % 7, i * 10, i);
        const batch = feed.drain();
        expect(feed.size).toBe(0);
        for (let i = first; i < first + second; i++) feed.push(i % 7, i * 10, i);
        feed.putBack(batch);
        expect(valuesOf(feed.drain())).toEqual(Array.from({ length: first + second }, (_, i) => i));
      }),
      { numRuns: 30 },
    );
  });

  it('keep signal, time and value together, a fault of the sensor too', () => {
    const feed = new JournalFeed();
    feed.push(3, 1770012000000, NaN);
    const { count, signal, timeMs, value } = feed.drain();
    expect([count, signal[0], timeMs[0], value[0]]).toEqual([1, 3, 1770012000000, NaN]);
  });
});
