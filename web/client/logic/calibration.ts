import type { TwoPointScale } from '../../../agent/site/site.js';

/** A reading taken at a place that was measured: raw as it came, the place in mm or °C. */
export interface CalibrationPoint {
  readonly raw: number;
  readonly is: number;
}

export type CalibrationOutcome = { readonly ok: true; readonly scale: TwoPointScale } | { readonly ok: false; readonly why: string };

/** Two readings nearer to one another than this share of the larger give a scale that is mostly noise. */
const LEAST_APART = 0.02;

/**
 * The scale through two points, lower raw value first.
 *
 * @returns why there is none, where the two readings are too much alike to tell a scale from noise, or stand for one place
 */
export function calibrate(a: CalibrationPoint, b: CalibrationPoint): CalibrationOutcome {
  const [low, high] = a.raw <= b.raw ? [a, b] : [b, a];
  const size = Math.max(Math.abs(low.raw), Math.abs(high.raw));
  if (high.raw - low.raw <= LEAST_APART * size) {
    return { ok: false, why: 'The two readings are too much alike: move the carriage further, as near to both ends as it goes.' };
  }
  if (low.is === high.is) return { ok: false, why: 'Both readings are said to be at one place: measure the second again.' };
  const round = (value: number): number => Number(value.toPrecision(7));
  return { ok: true, scale: { from: [round(low.raw), round(high.raw)], to: [round(low.is), round(high.is)] } };
}

/** What a raw value is by a scale, mm or °C. */
export function scaled({ from, to }: TwoPointScale, raw: number): number {
  return to[0] + ((raw - from[0]) * (to[1] - to[0])) / (from[1] - from[0]);
}

/** The scale as it stands in a site file. */
export function scaleYaml({ from, to }: TwoPointScale): string {
  return `scale: { from: [${from.join(', ')}], to: [${to.join(', ')}] }`;
}
