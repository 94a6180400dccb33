import { linearRegression } from 'simple-statistics';
import { studentQuantile } from '../../../agent/flow/trend/distributions.js';

/** The naive line that the trend is compared with. */
export interface LeastSquaresLine {
  readonly slope: number;
  /** Two-sided interval of the slope. */
  readonly low: number;
  readonly high: number;
  readonly intercept: number;
  readonly residualSd: number;
  readonly rSquared: number;
  /** Where a further value at x is expected, with the two-sided interval. */
  readonly predict: (x: number) => { readonly value: number; readonly low: number; readonly high: number };
}

/** Least squares through (x, y), with the prediction interval of a further value (Montgomery & Runger, §11-6). */
export function leastSquares(x: readonly number[], y: readonly number[], confidence: number): LeastSquaresLine {
  const { m: slope, b: intercept } = linearRegression(x.map((value, i) => [value, y[i] as number]));
  const n = x.length;
  const meanX = x.reduce((sum, value) => sum + value, 0) / n;
  const meanY = y.reduce((sum, value) => sum + value, 0) / n;
  const spreadX = x.reduce((sum, value) => sum + (value - meanX) ** 2, 0);
  const spreadY = y.reduce((sum, value) => sum + (value - meanY) ** 2, 0);
  const left = y.reduce((sum, value, i) => sum + (value - intercept - slope * (x[i] as number)) ** 2, 0);
  const residualSd = Math.sqrt(left / (n - 2));
  const student = studentQuantile((1 + confidence) / 2, n - 2);
  const slopeHalf = (student * residualSd) / Math.sqrt(spreadX);
  return {
    slope,
    low: slope - slopeHalf,
    high: slope + slopeHalf,
    intercept,
    residualSd,
    rSquared: 1 - left / spreadY,
    predict: (at) => {
      const value = intercept + slope * at;
      const half = student * residualSd * Math.sqrt(1 + 1 / n + (at - meanX) ** 2 / spreadX);
      return { value, low: value - half, high: value + half };
    },
  };
}
