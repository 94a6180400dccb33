import { describe, expect, it } from 'vitest';
import { StepWatch } from '../../agent/flow/finding/step-watch.js';

/**
 * C1 [T]: NIST/SEMATECH e-Handbook 6.3.2.3, the worked example of the CUSUM chart: 20 samples about a target of 325, whose mean shifts
 * from the 13th on; the tabular CUSUM (k 0.3175, h 4.1959) first signals at the 14th.
 */
const CUSUM_EXAMPLE = [
  324.925, 324.675, 324.725, 324.35, 325.35, 325.225, 324.125, 324.525, 325.225, 324.6, 324.625, 325.15, 328.325, 327.25, 327.825, 328.5,
  326.675, 327.775, 326.875, 328.35,
];
const SHIFTS_AT = 13;
const SIGNALS_AT = 14;

const HALF_HOUR_MS = 1800_000;

/** Lets a step watch see the samples as windows of half an hour each, and says what it told, and at which sample. */
function watched(samples: readonly number[], leastMm: number) {
  const watch = new StepWatch(leastMm);
  return samples.flatMap((restMm, i) => {
    const [fromMs, toMs] = [i * HALF_HOUR_MS, (i + 1) * HALF_HOUR_MS - 1];
    const step = watch.push({ fromMs, toMs, restMm, stoodMs: 0 }, () => false);
    return step === undefined ? [] : [{ ...step, toldAt: i + 1 }];
  });
}

describe('a shift of level in a published series', () => {
  it('is placed between the samples between which the handbook has it, and told within its hour of proof', () => {
    const steps = watched(CUSUM_EXAMPLE, 2);
    expect(steps).toHaveLength(1);
    const [step] = steps;
    expect(step?.fromMs).toBe((SHIFTS_AT - 1) * HALF_HOUR_MS - 1);
    expect(step?.toMs).toBe((SHIFTS_AT - 1) * HALF_HOUR_MS);
    expect(step?.toldAt).toBeGreaterThanOrEqual(SIGNALS_AT);
    expect(step?.toldAt).toBeLessThanOrEqual(SIGNALS_AT + 2);
    // The means of the two stretches of the published samples lie 3.0 apart.
    expect(step?.moveMm).toBeGreaterThan(2);
    expect(step?.moveMm).toBeLessThan(4);
  });

  it('is not seen in the samples before it', () => {
    expect(watched(CUSUM_EXAMPLE.slice(0, SHIFTS_AT - 1), 2)).toEqual([]);
  });
});
