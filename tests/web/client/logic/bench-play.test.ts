import { describe, expect, it } from 'vitest';
import type { BenchResult } from '../../../../agent/contract/bench.js';
import { following, nextEvent, played, speedWords, stepped, zoomed } from '../../../../web/client/logic/bench-play.js';
import { apartWords, changedLines, differWords, progressWords } from '../../../../web/client/logic/bench-words.js';

const WHOLE = { fromMs: 0, toMs: 3600_000 };

describe('playing', () => {
  it('goes on by the speed and stops at the end', () => {
    expect(played(1000, 100, 60, WHOLE)).toEqual({ atMs: 7000, goesOn: true });
    expect(played(3599_000, 100, 60, WHOLE)).toEqual({ atMs: 3600_000, goesOn: false });
  });

  it('goes through all of it in pictures of one size, as fast as it goes', () => {
    expect(played(0, 1, Infinity, WHOLE)).toEqual({ atMs: 36_000, goesOn: true });
    expect(speedWords(Infinity)).toBe('as fast as it goes');
  });

  it('steps by a share of what is in view, a second at least, and not beyond the ends', () => {
    expect(stepped(1000, WHOLE, WHOLE, false)).toBe(19_000);
    expect(stepped(1000, { fromMs: 0, toMs: 20_000 }, WHOLE, false)).toBe(2000);
    expect(stepped(1000, WHOLE, WHOLE, true)).toBe(0);
  });

  it('steps from event to event, and to the ends where there is none', () => {
    const result = { firstMs: 0, lastMs: 9000, alarms: [{ timeMs: 2000 }, { timeMs: 5000 }], findings: [{ timeMs: 3000 }] };
    const step = (atMs: number, backwards: boolean): number => nextEvent(result as unknown as BenchResult, atMs, backwards);
    expect([step(0, false), step(2000, false), step(5000, false)]).toEqual([2000, 3000, 9000]);
    expect([step(9000, true), step(3000, true), step(2000, true)]).toEqual([5000, 2000, 0]);
  });

  it('is said in words of the recording’s time', () => {
    expect([1, 60, 600, 3600, 36_000].map(speedWords)).toEqual([
      '1×',
      '1 min a second',
      '10 min a second',
      '1 h a second',
      '10 h a second',
    ]);
  });
});

describe('the stretch in view', () => {
  it('comes closer around the instant, and never leaves the recording', () => {
    expect(zoomed(WHOLE, 900_000, 0.5, WHOLE)).toEqual({ fromMs: 450_000, toMs: 2250_000 });
    expect(zoomed({ fromMs: 0, toMs: 60_000 }, 0, 4, WHOLE)).toEqual({ fromMs: 0, toMs: 240_000 });
    expect(zoomed({ fromMs: 3000_000, toMs: 3600_000 }, 3600_000, 100, WHOLE)).toEqual(WHOLE);
  });

  it('moves on when the instant leaves it', () => {
    const view = { fromMs: 0, toMs: 600_000 };
    expect(following(view, 300_000, WHOLE)).toEqual(view);
    expect(following(view, 1200_000, WHOLE)).toEqual({ fromMs: 1140_000, toMs: 1740_000 });
    expect(following(view, 3600_000, WHOLE)).toEqual({ fromMs: 3000_000, toMs: 3600_000 });
  });
});

describe('words of the bench', () => {
  it('count what differs', () => {
    expect(differWords(0, 4)).toBe('No alarm and no finding differs; 4 are the same');
    expect(differWords(1, 1)).toBe('1 alarm or finding differs, 1 is the same');
    expect(differWords(7, 0)).toBe('7 alarms and findings differ, 0 are the same');
  });

  it('say how far it is and how far apart two instants are', () => {
    expect(progressWords({ state: 'running', run: 'b', share: 0.256, timeMs: 0 })).toBe('Replaying the second setting: 25 %');
    expect([-1499, 200_000, -3_720_000].map(apartWords)).toEqual(['1 s', '3 min 20 s', '1 h 2 min']);
  });

  it('say which lines of a site file differ', () => {
    expect(changedLines('a: 1\nb: 2\n', 'a: 1\nb: 3\n')).toEqual(['- b: 2', '+ b: 3']);
  });
});
