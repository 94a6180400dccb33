import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { ne43Band } from '../../../agent/flow/sample/ne43.js';
import { Sampler, Verdict } from '../../../agent/flow/sample/sampler.js';
import type { Signal } from '../../../agent/site/site.js';
import { signalOf } from './signal.js';

const LOOP: Partial<Signal> = { unit: 'mA', scale: { from: [4, 20], to: [0, 160] } };

/** A sampler that has read `raws`, one a second from time 0, and what it said of each. */
function reading(own: Partial<Signal>, raws: readonly number[]): { sampler: Sampler; verdicts: readonly Verdict[] } {
  const sampler = new Sampler(signalOf(own));
  return { sampler, verdicts: raws.map((raw, second) => sampler.push(second * 1000, raw)) };
}

describe('a signal that falls silent', () => {
  test.each([
    [0.1, 30],
    [1, 30],
    [3, 30],
    [3.5, 35],
    [60, 600],
  ])('with a period of %d s is lost after %d s: ten periods, and at least 30 s', (periodS, lostAfterS) => {
    const sampler = new Sampler(signalOf({ periodS }));
    sampler.push(5000, 41);
    expect(sampler.lostAtMs).toBe(5000 + lostAfterS * 1000);
  });

  it('is found again with the third reading, and unknown until then', () => {
    const { sampler } = reading({}, [41]);
    sampler.loseNow();
    expect(sampler.known).toBe(false);
    expect(sampler.whyUnknown).toBe('signal-lost');
    expect(sampler.lostAtMs).toBe(Infinity);
    sampler.push(60_000, 42);
    sampler.push(61_000, 42);
    expect(sampler.lost).toBe(true);
    sampler.push(62_000, 42);
    expect(sampler.lost).toBe(false);
    expect(sampler.known).toBe(true);
    expect(sampler.value).toBe(42);
  });

  it('from the start is waited for since the others began, and was never read', () => {
    const sampler = new Sampler(signalOf());
    expect(sampler.lostAtMs).toBe(Infinity);
    sampler.expectFrom(1000);
    sampler.expectFrom(9000);
    expect(sampler.lostAtMs).toBe(31_000);
    sampler.loseNow();
    expect(sampler.whyUnknown).toBe('never-read');
  });

  it('is no longer waited for from the start once it has spoken', () => {
    const { sampler } = reading({}, [41]);
    sampler.expectFrom(-50_000);
    expect(sampler.lostAtMs).toBe(30_000);
  });

  test.each([
    ['a short while', 25_000, 41],
    ['longer than it may be silent', 95_000, NaN],
  ])('is waited for anew where nobody listened for %s, and what has grown old is unknown', (_, untilMs, value) => {
    const { sampler } = reading({}, [41]);
    expect(sampler.interrupt(untilMs)).toBe(Number.isNaN(value));
    expect(sampler.lostAtMs).toBe(untilMs + 30_000);
    expect(sampler.value).toBe(value);
    sampler.push(untilMs + 20_000, 42);
    expect(sampler.lostAtMs).toBe(untilMs + 50_000);
    expect(sampler.value).toBe(42);
  });
});

describe('a reading that cannot be right', () => {
  const valid: Partial<Signal> = { valid: [-5, 235] };

  test.each([-5.01, 235.01, NaN, Infinity, -Infinity])('%d is bad, and the value stays what it was', (raw) => {
    const { sampler, verdicts } = reading(valid, [41, raw]);
    expect(verdicts).toEqual([Verdict.good, Verdict.bad]);
    expect(sampler.value).toBe(41);
    expect(sampler.lastGoodMs).toBe(0);
    expect(sampler.lastMs).toBe(1000);
  });

  test.each([-5, 235])('%d is not one: the range holds its ends', (raw) => {
    expect(reading(valid, [raw]).verdicts).toEqual([Verdict.good]);
  });

  it('makes a fault with the third in a row, and three good ones end it', () => {
    const faults = reading(valid, [41, 300, 300, 300, 300, 42, 42, 42]);
    expect(faults.sampler.fault).toBe(false);
    const { sampler } = reading(valid, [41, 300, 300]);
    expect(sampler.fault).toBe(false);
    sampler.push(3000, NaN);
    expect(sampler.fault).toBe(true);
    expect(sampler.whyUnknown).toBe('signal-fault');
    sampler.push(4000, 42);
    sampler.push(5000, 42);
    expect(sampler.fault).toBe(true);
    sampler.push(6000, 42);
    expect(sampler.fault).toBe(false);
    expect(sampler.known).toBe(true);
  });

  it('once in a while makes none, and once in a while a good one ends none', () => {
    expect(reading(valid, [41, 300, 300, 41, 300, 300, 41]).sampler.fault).toBe(false);
    expect(reading(valid, [300, 300, 300, 41, 41, 300, 41, 41]).sampler.fault).toBe(true);
  });

  it('of a signal without a range is only what is no finite number', () => {
    expect(reading({}, [1e9, -1e9, NaN]).verdicts).toEqual([Verdict.good, Verdict.good, Verdict.bad]);
  });
});

describe('a 4–20 mA loop without a range of its own', () => {
  // N1 [T] NAMUR NE 43: ≤ 3.6 mA and ≥ 21.0 mA failure, 3.8 to 20.5 mA measurement, between them undefined.
  test.each([
    [3.6, Verdict.bad],
    [3.61, Verdict.uncertain],
    [3.79, Verdict.uncertain],
    [3.8, Verdict.good],
    [12, Verdict.good],
    [20.5, Verdict.good],
    [20.51, Verdict.uncertain],
    [20.99, Verdict.uncertain],
    [21, Verdict.bad],
    [0, Verdict.bad],
    [NaN, Verdict.bad],
  ])('at %d mA is judged by the bands of NE 43', (raw, verdict) => {
    expect(reading(LOOP, [raw]).verdicts).toEqual([verdict]);
  });

  it('is judged as the bands say, whatever the current', () => {
    const verdicts = { failure: Verdict.bad, uncertain: Verdict.uncertain, measurement: Verdict.good };
    fc.assert(
      fc.property(fc.oneof(fc.double({ min: 3, max: 22 }), fc.constantFrom(3.6, 3.8, 20.5, 21)), (raw) => {
        expect(reading(LOOP, [raw]).verdicts).toEqual([verdicts[ne43Band(raw)]]);
      }),
    );
  });

  it('holds its last value while the current is uncertain, and is not lost by it', () => {
    const { sampler } = reading(LOOP, [12, 3.7, 20.7]);
    expect(sampler.value).toBe(80);
    expect(sampler.known).toBe(true);
    expect(sampler.lastGoodMs).toBe(0);
    expect(sampler.lostAtMs).toBe(2000 + 30_000);
  });

  it('neither breaks nor completes a fault by an uncertain current', () => {
    expect(reading(LOOP, [3, 3, 3.7]).sampler.fault).toBe(false);
    expect(reading(LOOP, [3, 3, 3.7, 3]).sampler.fault).toBe(true);
    expect(reading(LOOP, [3, 3, 3, 12, 12, 3.7]).sampler.fault).toBe(true);
    expect(reading(LOOP, [3, 3, 3, 12, 12, 3.7, 12]).sampler.fault).toBe(false);
  });

  it('with a range of its own is judged by that', () => {
    expect(reading({ ...LOOP, valid: [-10, 170] }, [3.5, 20.9, 2.9, 21.1]).verdicts).toEqual([
      Verdict.good,
      Verdict.good,
      Verdict.bad,
      Verdict.bad,
    ]);
  });
});

describe('a reading out of turn', () => {
  it('is late or a duplicate, and changes nothing', () => {
    const { sampler } = reading({}, [40, 41]);
    const before = sampler.save();
    expect(sampler.push(1000, 99)).toBe(Verdict.duplicate);
    expect(sampler.push(999, 99)).toBe(Verdict.late);
    expect(sampler.push(1000, NaN)).toBe(Verdict.duplicate);
    expect(sampler.save()).toEqual(before);
  });
});

describe('what a sampler remembers', () => {
  const raw = fc.oneof({ weight: 3, arbitrary: fc.double({ min: 3, max: 22, noNaN: true }) }, { weight: 1, arbitrary: fc.constant(NaN) });
  const event = fc.oneof(
    { weight: 8, arbitrary: fc.record({ gap: fc.integer({ min: 0, max: 9000 }), raw }) },
    { weight: 1, arbitrary: fc.constant('lose' as const) },
  );

  it('is all of it: saved through JSON anywhere, it goes on as if nothing had been', () => {
    fc.assert(
      fc.property(fc.array(event, { maxLength: 30 }), fc.nat(30), (events, cut) => {
        const run = (sampler: Sampler, from: number, some: readonly (typeof events)[number][]): number[] => {
          let timeMs = from;
          return some.map((one) => {
            if (one === 'lose') {
              sampler.loseNow();
              return -1;
            }
            timeMs += one.gap;
            return sampler.push(timeMs, one.raw);
          });
        };
        const timeOf = (some: readonly (typeof events)[number][]): number =>
          some.reduce((sum, one) => sum + (one === 'lose' ? 0 : one.gap), 0);
        const whole = new Sampler(signalOf(LOOP));
        const verdicts = run(whole, 0, events);
        const first = new Sampler(signalOf(LOOP));
        const before = run(first, 0, events.slice(0, cut));
        const second = new Sampler(signalOf(LOOP), JSON.parse(JSON.stringify(first.save())) as ReturnType<Sampler['save']>);
        expect([...before, ...run(second, timeOf(events.slice(0, cut)), events.slice(cut))]).toEqual(verdicts);
        expect(second.save()).toEqual(whole.save());
        expect(second.lostAtMs).toBe(whole.lostAtMs);
        expect(second.whyUnknown).toBe(whole.whyUnknown);
      }),
    );
  });
});
