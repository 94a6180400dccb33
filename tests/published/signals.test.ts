import { describe, expect, it, test } from 'vitest';
import { LowPass } from '../../agent/flow/position/low-pass.js';
import { ne43Band } from '../../agent/flow/sample/ne43.js';
import { medianOf, robustSpread } from '../../agent/units/quantile.js';
import { naiveOutliers } from '../flow/position/naive-hampel.js';
import { spikesIn } from '../flow/position/spikes.js';

// Tags: [P] read in a published page, [T] read in an independent transcription of the source and recomputed.
// Tolerances are half a unit of the last published figure.

function within(value: number, published: number, halfUnit: number): void {
  expect(Math.abs(value - published), `${value} against ${published}`).toBeLessThanOrEqual(halfUnit);
}

/** Nothing but the rule itself: no resolution to speak of, so that no floor hides what it says. */
const RULE = { k: 3, resolution: 1e-12 };

describe('the Hampel identifier', () => {
  // F1 [P] Hampel 1974, Davies & Gather 1993; manual of the R package pracma: a window of 2k + 1 readings centred on one, which is an
  // outlier where |x − median| > t · 1.4826 · MAD.
  it('on a window of seven calls an outlier what the rule calls one, and nothing else', () => {
    const line = [10, 10.4, 9.8, 10.1, 30, 9.9, 10.2, 10.3, 9.7, 10, 10.2, -4, 10.1, 9.9, 10.4, 10, 9.8];
    expect(spikesIn(line, 1000, RULE)).toEqual([4, 11]);
    expect(naiveOutliers(line, 3)).toEqual([4, 11]);
  });

  // F2 [T] Rousseeuw & Hubert 2011, Robust statistics for outlier detection: five lengths, and the same with one decimal point misplaced.
  const lengths = [6.27, 6.34, 6.25, 6.31, 6.28];
  const misplaced = [6.27, 6.34, 63.1, 6.25, 6.28];

  test.each([
    ['as measured', lengths],
    ['with a misplaced point', misplaced],
  ])('has the published centre and spread of five lengths %s', (_, values) => {
    expect(medianOf(values)).toBe(6.28);
    within(robustSpread(values), 0.0445, 0.00005);
  });

  it('finds the length with the misplaced point, and none where there is none', () => {
    expect(spikesIn(misplaced, 1000, RULE)).toEqual([2]);
    expect(spikesIn(lengths, 1000, RULE)).toEqual([]);
  });

  // F3 [T] NIST/SEMATECH e-Handbook 1.3.5.17.1: uranium; only the last is an outlier.
  const uranium = [199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57];

  it('has the published median and median absolute deviation of the uranium data', () => {
    within(medianOf(uranium), 201.37, 0.005);
    within(robustSpread(uranium) / 1.4826, 0.995, 0.0005);
  });

  it('finds the one outlier among the uranium data, each of the others centred in its turn, and no other', () => {
    // Eight values go round and round past a window of seven, so that each is judged in the midst of six of the others.
    const round = Array.from({ length: 8 * 6 }, (_, i) => uranium[(i * 3) % 8]!);
    const found = spikesIn(round, 1000, RULE);
    expect(new Set(found.map((i) => round[i]))).toEqual(new Set([245.57]));
    expect(found).toHaveLength(6);
  });
});

describe('the smoothing at even intervals', () => {
  // F4 [T] NIST/SEMATECH e-Handbook 6.3.2.4, EWMA control charts: λ = 0.3, starting from 50.
  const readings = [52, 47, 53, 49.3, 50.1, 47, 51, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1];
  const published = [
    50.6, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94,
    51.99,
  ];

  test.each([1000, 60_000])('of %d ms is the published moving average', (everyMs) => {
    const smooth = new LowPass(-everyMs / Math.log(0.7));
    smooth.push(0, 50);
    readings.forEach((value, i) => {
      within(smooth.push((i + 1) * everyMs, value), published[i]!, 0.005);
    });
  });
});

describe('the levels of a 4–20 mA loop', () => {
  // N1 [T] NAMUR NE 43: at or below 3.6 mA and at or above 21.0 mA failure; 3.8 to 20.5 mA measurement; between them undefined.
  test.each([
    [0, 'failure'],
    [3.6, 'failure'],
    [3.601, 'uncertain'],
    [3.799, 'uncertain'],
    [3.8, 'measurement'],
    [4, 'measurement'],
    [20, 'measurement'],
    [20.5, 'measurement'],
    [20.501, 'uncertain'],
    [20.999, 'uncertain'],
    [21, 'failure'],
    [24, 'failure'],
    [NaN, 'failure'],
  ] as const)('at %d mA mean %s', (milliamp, band) => {
    expect(ne43Band(milliamp)).toBe(band);
  });
});
