import { expect, it } from 'vitest';
import { normalQuantile, studentQuantile } from '../../../agent/flow/trend/distributions.js';

// Abramowitz & Stegun 1964, tables 26.1 and 26.10 [M]; the same from SciPy 1.17 (norm.ppf, t.ppf).
it('gives the tabulated quantiles of the normal distribution, far into the tails', () => {
  expect(normalQuantile(0.5)).toBe(0);
  expect(normalQuantile(0.95)).toBeCloseTo(1.6448536, 6);
  expect(normalQuantile(0.975)).toBeCloseTo(1.95996398, 6);
  expect(normalQuantile(0.001)).toBeCloseTo(-3.0902323, 6);
  expect(normalQuantile(1e-13)).toBeCloseTo(-7.34879, 4);
});

it("gives the tabulated quantiles of Student's t", () => {
  const at95 = [6.3138, 2.92, 2.3534, 2.1318, 2.015, 1.9432, 1.8946, 1.8595];
  at95.forEach((value, i) => expect(studentQuantile(0.95, i + 1)).toBeCloseTo(value, 4));
  expect(studentQuantile(0.975, 18)).toBeCloseTo(2.1009, 4);
});
