import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { HampelFilter } from '../../../agent/flow/position/hampel.js';
import { seededNoise, type Noise } from '../trend/seeded-noise.js';
import { naiveOutliers } from './naive-hampel.js';
import { judged, spikesIn, taken } from './spikes.js';

const SIGMA = 0.1;
const still = (count: number, noise: Noise): number[] => Array.from({ length: count }, () => 100 + SIGMA * noise.normal());

describe('the spike filter', () => {
  it('judges a reading when the three after it are in, and each reading once, in order', () => {
    const filter = new HampelFilter({ k: 3 });
    const counts = [1, 2, 3, 4, 5].map((value) => filter.push(value * 1000, value));
    expect(counts).toEqual([0, 0, 0, 1, 1]);
    expect(judged([1, 2, 3, 4, 5, 6, 7, 8, 9], 1000, { k: 3 }).map(({ timeMs, value }) => [timeMs, value])).toEqual(
      [1, 2, 3, 4, 5, 6, 7, 8, 9].map((value, i) => [i * 1000, value]),
    );
  });

  it('takes no reading for a spike among fewer than five: there is no telling', () => {
    expect(spikesIn([41, 41.1, 900, 41], 1000, { k: 3, resolution: 0.1 })).toEqual([]);
    expect(spikesIn([41, 41.1, 900, 41, 41.1], 1000, { k: 3, resolution: 0.1 })).toEqual([2]);
  });

  it('finds a spike on a signal that never moved, though no step of it is known', () => {
    const values = Array.from({ length: 60 }, () => 41);
    values[30] = 49;
    expect(spikesIn(values, 1000, { k: 3 })).toEqual([30]);
  });

  it('leaves a coarse sensor its flicker of one step, whether the step is given or learnt', () => {
    const noise = seededNoise(11);
    const flicker = Array.from({ length: 5000 }, () => 41 + (noise.even() < 0.04 ? 0.5 : 0));
    expect(spikesIn(flicker, 1000, { k: 3 })).toEqual([]);
    expect(spikesIn(flicker, 1000, { k: 3, resolution: 0.5 })).toEqual([]);
  });

  it('passes a lasting step of the carriage', () => {
    const noise = seededNoise(12);
    const values = still(400, noise).map((value, i) => (i < 200 ? value : value - 30));
    expect(spikesIn(values, 1000, { k: 3 })).toEqual([]);
  });

  it('passes a surge of two seconds at ten readings a second, to its top', () => {
    const noise = seededNoise(13);
    const surge = (i: number): number => (i >= 1000 && i < 1020 ? -25 : 0);
    const values = still(2000, noise).map((value, i) => value + surge(i));
    const passed = judged(values, 100, { k: 3, reachMs: 3000 }).filter(({ spike }) => !spike);
    expect(passed.filter(({ timeMs }) => surge(Math.round(timeMs / 100)) !== 0)).toHaveLength(20);
  });

  it('does not learn from a burst of spikes to let them pass', () => {
    const noise = seededNoise(14);
    const values = still(3000, noise).map((value, i) => (i > 500 && i % 5 === 0 ? value + 4 : value));
    const bursts = Array.from({ length: 3000 }, (_, i) => i).filter((i) => i > 500 && i % 5 === 0);
    const found = new Set(spikesIn(values, 1000, { k: 3 }));
    expect(bursts.filter((i) => found.has(i)).length / bursts.length).toBeGreaterThan(0.95);
  });

  it('knows the spread of noise, on the slope of slow motion too', () => {
    for (const slope of [0, 0.3]) {
      const filter = new HampelFilter({ k: 3 });
      still(4000, seededNoise(15)).forEach((value, i) => filter.push(i * 1000, value + slope * i));
      expect(filter.noiseSpread).toBeGreaterThan(0.85 * SIGMA);
      expect(filter.noiseSpread).toBeLessThan(1.15 * SIGMA);
    }
  });
});

describe('for a signal faster than one reading a second', () => {
  it('only readings within the reach count, and none waits longer than it', () => {
    const filter = new HampelFilter({ k: 3, reachMs: 3000, resolution: 0.1 });
    [0, 500, 1000, 1500, 2000].forEach((timeMs) => filter.push(timeMs, 41));
    // After a gap: what waited is judged with what there was.
    const late = taken(filter, filter.push(9000, 80));
    expect(late.map(({ timeMs }) => timeMs)).toEqual([1000, 1500, 2000]);
    expect(taken(filter, filter.flush())).toEqual([{ timeMs: 9000, value: 80, spike: false }]);
  });
});

describe('after a gap', () => {
  it('the readings before it are no neighbours, but the noise learnt from them holds', () => {
    const filter = new HampelFilter({ k: 3 });
    still(500, seededNoise(16)).forEach((value, i) => filter.push(i * 1000, value));
    const learnt = filter.noiseSpread;
    filter.forgetWindow();
    expect(filter.noiseSpread).toBe(learnt);
    expect([60, 61, 62].map((value, i) => filter.push(1_000_000 + i * 1000, value))).toEqual([0, 0, 0]);
  });
});

describe('against the published rule alone', () => {
  const readings = fc.tuple(
    fc.integer(),
    fc.constantFrom(0, 0.2, 3),
    fc.array(fc.tuple(fc.nat(299), fc.double({ min: -50, max: 50, noNaN: true })), { maxLength: 12 }),
  );
  const valuesOf = ([seed, slope, spikes]: readonly [number, number, readonly (readonly [number, number])[]]): number[] => {
    const values = still(300, seededNoise(seed)).map((value, i) => value + slope * Math.sin(i / 20));
    for (const [at, off] of spikes) values[at] = values[at]! + off;
    return values;
  };

  it('no reading is a spike that is none by it', () => {
    fc.assert(
      fc.property(readings, (some) => {
        const values = valuesOf(some);
        const published = new Set(naiveOutliers(values, 3));
        const found = spikesIn(values, 1000, { k: 3, resolution: 1e-12 }).filter((i) => i >= 3 && i < 297);
        expect(found.filter((i) => !published.has(i))).toEqual([]);
      }),
    );
  });

  it('every reading that is far out by it is found', () => {
    fc.assert(
      fc.property(readings, (some) => {
        const values = valuesOf(some);
        const found = new Set(spikesIn(values, 1000, { k: 3, resolution: 1e-12 }));
        // Beyond 12 times the spread of noise, and by twice the multiple that is asked for while the noise is being learnt.
        const far = naiveOutliers(values, 6).filter((i) => Math.abs(values[i]! - middleOf(values, i)) > 12 * SIGMA);
        expect(far.filter((i) => !found.has(i))).toEqual([]);
      }),
    );
  });
});

/** Median of the seven readings around one. */
function middleOf(values: readonly number[], at: number): number {
  return values.slice(at - 3, at + 4).sort((a, b) => a - b)[3]!;
}

describe('what the filter remembers', () => {
  it('is all of it: saved through JSON anywhere, it goes on as if nothing had been', () => {
    fc.assert(
      fc.property(
        fc.integer(),
        fc.nat(120),
        fc.constantFrom({ k: 3 }, { k: 3, resolution: 0.1 }, { k: 3, reachMs: 3000 }),
        (seed, cut, options) => {
          const noise = seededNoise(seed);
          const values = still(120, noise).map((value) => (noise.even() < 0.05 ? value + 5 : value));
          const whole = new HampelFilter(options);
          const expected = values.flatMap((value, i) => taken(whole, whole.push(i * 700, value)));
          let filter = new HampelFilter(options);
          const got = values.flatMap((value, i) => {
            if (i === cut)
              filter = new HampelFilter(options, JSON.parse(JSON.stringify(filter.save())) as ReturnType<HampelFilter['save']>);
            return taken(filter, filter.push(i * 700, value));
          });
          expect(got).toEqual(expected);
          expect(filter.save()).toEqual(whole.save());
        },
      ),
    );
  });
});

const RATES = [
  ['ten readings a second', 100],
  ['one reading a second', 1000],
  ['one reading in ten seconds', 10_000],
  ['one reading a minute', 60_000],
] as const;

const NOISES = [
  ['Gaussian', (noise: Noise) => SIGMA * noise.normal()],
  ['uniform', (noise: Noise) => SIGMA * Math.sqrt(12) * (noise.even() - 0.5)],
] as const;

/** Steps of the sensor, mm; 0: finer than matters. */
const STEPS = [0, 0.1, 0.5] as const;

/** Normal breathing: amplitude in mm and period in s. */
const BREATHING = [
  [0, 30],
  [1, 40],
  [3, 12],
  [3, 300],
] as const;

describe('good readings', () => {
  it('of a breath are taken for spikes less than once in a thousand, however many of them a breath has', () => {
    for (const readings of [2.3, 3.1, 4.2, 5, 5.65, 6.5, 7.3, 8.8, 12, 20, 50, 300]) {
      for (const sigma of [0.02, 0.05, 0.3]) {
        const noise = seededNoise(readings);
        const values = Array.from(
          { length: 10_000 },
          (_, i) => 100 + 0.8 * Math.sin((2 * Math.PI * i) / readings) + sigma * noise.normal(),
        );
        const flagged = spikesIn(values, 10_000, { k: 3 }).length;
        expect(flagged / values.length, `${readings} readings a breath, noise ${sigma}`).toBeLessThan(0.001);
      }
    }
  });

  it('of a conveyor that stands and starts are no spikes while its breathing is new, but for a reading at the change', () => {
    // A shift of eight hours and as long a stop, read once a minute: what is learnt in the stop does not hold in the shift.
    const noise = seededNoise(17);
    const breath = (i: number): number => (Math.floor(i / 480) % 2 === 1 ? 1.2 * Math.sin((2 * Math.PI * i) / 4.9) : 0);
    const values = Array.from({ length: 480 * 40 }, (_, i) => 100 + breath(i) + 0.04 * noise.normal());
    const flagged = spikesIn(values, 60_000, { k: 3 });
    const fromChange = flagged.map((i) => Math.min(i % 480, 480 - (i % 480)));
    expect(Math.max(...fromChange)).toBeLessThanOrEqual(20);
    expect(flagged.length).toBeLessThanOrEqual(40 + 5);
  });

  const cases = RATES.flatMap(([rate, everyMs]) => NOISES.map(([kind, draw]) => ({ rate, everyMs, kind, draw })));

  test.each(cases)(
    'with $kind noise at $rate, breathing or not, are taken for spikes less than once in a thousand',
    ({ everyMs, draw }) => {
      for (const [amplitude, periodS] of BREATHING) {
        for (const step of STEPS) {
          const noise = seededNoise(1 + everyMs + amplitude + periodS);
          const values = Array.from({ length: 20_000 }, (_, i) => {
            const value = 100 + amplitude * Math.sin((2 * Math.PI * i * everyMs) / 1000 / periodS) + draw(noise);
            return step === 0 ? value : Math.round(value / step) * step;
          });
          const flagged = spikesIn(values, everyMs, { k: 3, ...(everyMs < 1000 ? { reachMs: 3000 } : {}) }).length;
          expect(flagged / values.length, `amplitude ${amplitude}, period ${periodS}, step ${step}`).toBeLessThan(0.001);
        }
      }
    },
  );

  test.each(cases)('with $kind noise at $rate hide no spike of many times what they scatter by', ({ everyMs, draw }) => {
    for (const [amplitude, periodS] of BREATHING) {
      const noise = seededNoise(2 + everyMs + amplitude + periodS);
      const scatter = Math.hypot(SIGMA, amplitude * Math.min(1, (2 * Math.PI * everyMs) / 1000 / periodS));
      const at = (i: number): boolean => i > 100 && i % 97 === 0;
      const values = Array.from({ length: 20_000 }, (_, i) => {
        const value = 100 + amplitude * Math.sin((2 * Math.PI * i * everyMs) / 1000 / periodS) + draw(noise);
        return at(i) ? value + (i % 2 === 0 ? 1 : -1) * (10 + 40 * noise.even()) * scatter : value;
      });
      const found = new Set(spikesIn(values, everyMs, { k: 3, ...(everyMs < 1000 ? { reachMs: 3000 } : {}) }));
      const spikes = values.map((_, i) => i).filter(at);
      const missed = spikes.filter((i) => !found.has(i));
      // The rule's own median of seven deviations now and then comes out large: of the smallest spikes one in a hundred may pass.
      expect(missed.length / spikes.length, `amplitude ${amplitude}, period ${periodS}`).toBeLessThanOrEqual(0.01);
    }
  });
});
