import fc from 'fast-check';
import { quantileSorted } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { CHANNELS, DEFAULT_SETTLE, SettleWindow, type SettledWindow } from '../../../agent/flow/position/settle-window.js';

/** One second of running time of a carriage whose sides read alike. */
function second(mm: number, own: Partial<Record<(typeof CHANNELS)[number], number>> = {}): Float64Array {
  const all = { mean: mm, left: mm, right: mm, skew: 0, springLeft: NaN, springRight: NaN, zoneHeat: 0, ambientHeat: 0, ...own };
  return Float64Array.from(CHANNELS, (channel) => all[channel]);
}

function push(window: SettleWindow, timeMs: number, ranMs: number, channels: Float64Array, springLeast: number, springMost: number) {
  return window.push(Float64Array.of(...channels, timeMs, ranMs, springLeast, springMost));
}

/** Feeds samples at even intervals of running time; gives every window that settled. */
function settled(window: SettleWindow, positions: readonly number[], everyMs: number, fromMs = 0): SettledWindow[] {
  return positions.flatMap((mm, i) => push(window, fromMs + i * everyMs, i === 0 ? 0 : everyMs, second(mm), mm + 200, mm + 210) ?? []);
}

const row = (count: number, mm: (i: number) => number): number[] => Array.from({ length: count }, (_, i) => mm(i));

describe('a settled window', () => {
  it('is ten minutes of running time', () => {
    const [first, second_] = settled(
      new SettleWindow(DEFAULT_SETTLE),
      row(1300, () => 41),
      1000,
    );
    expect(first).toMatchObject({ fromMs: 0, toMs: 600_000, count: 601, mean: 41 });
    expect(second_).toMatchObject({ fromMs: 601_000, toMs: 1_201_000 });
  });

  it('is fifteen readings where these take longer', () => {
    const [first] = settled(
      new SettleWindow(DEFAULT_SETTLE),
      row(20, () => 41),
      60_000,
    );
    expect(first).toMatchObject({ fromMs: 0, toMs: 14 * 60_000, count: 15 });
  });

  it('has the medians of its seconds, and the 5–95 % range as its breathing', () => {
    // [L] npm simple-statistics.
    fc.assert(
      fc.property(fc.array(fc.double({ min: 39.5, max: 42.5, noNaN: true }), { minLength: 61, maxLength: 61 }), (positions) => {
        const [window] = settled(new SettleWindow(DEFAULT_SETTLE), positions, 10_000);
        const sorted = [...positions].sort((a, b) => a - b);
        expect(window?.mean).toBeCloseTo(quantileSorted(sorted, 0.5), 9);
        expect(window?.breathing).toBeCloseTo(quantileSorted(sorted, 0.95) - quantileSorted(sorted, 0.05), 9);
        expect(window).toMatchObject({ least: sorted[0], most: sorted[60], springLeast: sorted[0]! + 200, springMost: sorted[60]! + 210 });
      }),
    );
  });

  it('does not settle with a jump in it', () => {
    const positions = row(61, (i) => (i < 30 ? 41 : 45));
    expect(settled(new SettleWindow(DEFAULT_SETTLE), positions, 10_000)).toEqual([]);
    expect(
      settled(
        new SettleWindow(DEFAULT_SETTLE),
        row(61, (i) => (i < 30 ? 41 : 44.9)),
        10_000,
      ),
    ).toHaveLength(1);
  });

  it('after one with a jump begins where that one ended', () => {
    const positions = row(122, (i) => (i < 30 ? 41 : 60));
    expect(settled(new SettleWindow(DEFAULT_SETTLE), positions, 10_000)).toMatchObject([{ fromMs: 610_000, mean: 60 }]);
  });

  it('counts running time alone, not what lies between', () => {
    const window = new SettleWindow(DEFAULT_SETTLE);
    settled(
      window,
      row(30, () => 41),
      10_000,
    );
    // Two hours of standing pass; 290 s of running time are in, 310 s are to come.
    const after = row(40, () => 41).flatMap(
      (mm, i) => push(window, 7_200_000 + i * 10_000, i === 0 ? 0 : 10_000, second(mm), 241, 241) ?? [],
    );
    expect(after).toMatchObject([{ fromMs: 0, toMs: 7_200_000 + 310_000 }]);
  });

  it('leaves what was not known for a part of it no say', () => {
    const window = new SettleWindow(DEFAULT_SETTLE);
    const results = row(61, (i) => i).flatMap(
      (i) => push(window, i * 10_000, i === 0 ? 0 : 10_000, second(41, { zoneHeat: i % 2 === 0 ? NaN : 500 }), 241, 241) ?? [],
    );
    expect(results).toMatchObject([{ zoneHeat: 500, springLeft: NaN }]);
  });

  it('begins anew when what was gathered is thrown away', () => {
    const window = new SettleWindow(DEFAULT_SETTLE);
    settled(
      window,
      row(50, () => 41),
      10_000,
    );
    window.drop();
    expect(window.lastSampleMs).toBeNaN();
    expect(
      settled(
        window,
        row(61, () => 50),
        10_000,
        900_000,
      ),
    ).toMatchObject([{ fromMs: 900_000, mean: 50, most: 50 }]);
  });

  it('goes on from what was saved through JSON as if nothing had been', () => {
    fc.assert(
      fc.property(fc.nat(60), (cut) => {
        const position = (i: number): number => 41 + Math.sin(i);
        const whole = new SettleWindow(DEFAULT_SETTLE);
        const expected = row(70, position).flatMap((mm, i) => push(whole, i * 10_000, 10_000, second(mm), mm, mm) ?? []);
        let window = new SettleWindow(DEFAULT_SETTLE);
        const got = row(70, position).flatMap((mm, i) => {
          if (i === cut)
            window = new SettleWindow(DEFAULT_SETTLE, JSON.parse(JSON.stringify(window.save())) as ReturnType<SettleWindow['save']>);
          return push(window, i * 10_000, 10_000, second(mm), mm, mm) ?? [];
        });
        expect(got).toEqual(expected);
        expect(JSON.stringify(window.save())).toBe(JSON.stringify(whole.save()));
      }),
      { numRuns: 20 },
    );
  });

  it('takes up a window that an early version saved with every channel in it', () => {
    const whole = new SettleWindow(DEFAULT_SETTLE);
    const positions = row(61, (i) => 41 + Math.sin(i));
    const expected = settled(whole, positions, 10_000);
    const first = positions.slice(0, 30);
    const columns = CHANNELS.map((channel) =>
      channel.startsWith('spring') ? first.map(() => null) : first.map((mm) => (['mean', 'left', 'right'].includes(channel) ? mm : 0)),
    );
    const saved = { columns, fromMs: 0, lastMs: 290_000, ranMs: 290_000, springLeast: 241 - 1, springMost: 252 };
    const window = new SettleWindow(DEFAULT_SETTLE, saved);
    const got = positions.slice(30).flatMap((mm, i) => push(window, (30 + i) * 10_000, 10_000, second(mm), mm + 200, mm + 210) ?? []);
    expect(got).toEqual(expected.map((one) => ({ ...one, springLeast: 240, springMost: 252 })));
  });
});
