import { celsiusToFahrenheit, metresToFeet, mmToFeet, mmToInches, newtonsToPounds, ratePerMmToPerInch } from './convert.js';

/** What a person reads in; a site has one, and everyone may choose the other. */
export type UnitSystem = 'metric' | 'imperial';

/** What a number is of, which decides its unit and how many decimals mean something. */
export type DisplayKind =
  | 'travel' // mm of carriage or spring, as measured
  | 'travel-rough' // the same, to be read from across the floor
  | 'travel-rate' // mm a day
  | 'wear' // mm a joint: the trade speaks of thousandths of an inch
  | 'chain-length' // mm of chain
  | 'force' // N
  | 'spring-rate' // N/mm
  | 'temperature' // °C
  | 'speed' // m/min
  | 'elongation' // %
  | 'elongation-rate'; // % a day

/** A number as a person reads it. */
export interface Shown {
  readonly value: string;
  readonly unit: string;
}

interface Reading {
  readonly unit: string;
  readonly decimals: number;
  readonly convert: (value: number) => number;
}

const asIs = (value: number): number => value;
const PERCENT: Reading = { unit: '%', decimals: 3, convert: asIs };
const PERCENT_A_DAY: Reading = { unit: '%/day', decimals: 5, convert: asIs };

/** Inches are decimal: on a rule a person reads eighths, but a sensor does not measure them. */
const READINGS: Readonly<Record<DisplayKind, Readonly<Record<UnitSystem, Reading>>>> = {
  travel: {
    metric: { unit: 'mm', decimals: 1, convert: asIs },
    imperial: { unit: 'in', decimals: 2, convert: mmToInches },
  },
  'travel-rough': {
    metric: { unit: 'mm', decimals: 0, convert: asIs },
    imperial: { unit: 'in', decimals: 1, convert: mmToInches },
  },
  'travel-rate': {
    metric: { unit: 'mm/day', decimals: 2, convert: asIs },
    imperial: { unit: 'in/day', decimals: 3, convert: mmToInches },
  },
  wear: {
    metric: { unit: 'mm', decimals: 3, convert: asIs },
    imperial: { unit: 'in', decimals: 4, convert: mmToInches },
  },
  'chain-length': {
    metric: { unit: 'm', decimals: 2, convert: (mm) => mm / 1000 },
    imperial: { unit: 'ft', decimals: 1, convert: mmToFeet },
  },
  force: {
    metric: { unit: 'N', decimals: 0, convert: asIs },
    imperial: { unit: 'lbf', decimals: 0, convert: newtonsToPounds },
  },
  'spring-rate': {
    metric: { unit: 'N/mm', decimals: 1, convert: asIs },
    imperial: { unit: 'lbf/in', decimals: 1, convert: ratePerMmToPerInch },
  },
  temperature: {
    metric: { unit: '°C', decimals: 1, convert: asIs },
    imperial: { unit: '°F', decimals: 1, convert: celsiusToFahrenheit },
  },
  speed: {
    metric: { unit: 'm/min', decimals: 1, convert: asIs },
    imperial: { unit: 'ft/min', decimals: 1, convert: metresToFeet },
  },
  elongation: { metric: PERCENT, imperial: PERCENT },
  'elongation-rate': { metric: PERCENT_A_DAY, imperial: PERCENT_A_DAY },
};

const NO_BREAK_SPACE = '\u00a0';
const MINUS = '\u2212';

/**
 * A number in the unit and with the decimals that a person reads it with.
 *
 * @param value - in the program's own unit: mm, N, N/mm, °C, m/min, %
 */
export function show(kind: DisplayKind, value: number, system: UnitSystem): Shown {
  const { unit, decimals, convert } = READINGS[kind][system];
  return { value: formatNumber(convert(value), decimals), unit };
}

/** `show` as one piece of text that does not break between number and unit. */
export function showText(kind: DisplayKind, value: number, system: UnitSystem): string {
  const { value: number, unit } = show(kind, value, system);
  return `${number}${NO_BREAK_SPACE}${unit}`;
}

/** A low and a high value that share their unit: `31.0 to 44.5 mm`. */
export function showRange(kind: DisplayKind, low: number, high: number, system: UnitSystem): string {
  const from = show(kind, low, system);
  const to = show(kind, high, system);
  return `${from.value} to ${to.value}${NO_BREAK_SPACE}${to.unit}`;
}

/** The unit alone, for a table's head or a chart's axis. */
export function unitOf(kind: DisplayKind, system: UnitSystem): string {
  return READINGS[kind][system].unit;
}

/** The bare number in the unit a person reads, for scales and charts. */
export function toShown(kind: DisplayKind, value: number, system: UnitSystem): number {
  return READINGS[kind][system].convert(value);
}

/**
 * A number written alike in every language: a point before the decimals, no mark between thousands, a true minus.
 * No locale is asked, so none can be wrong. What rounds to nothing has no sign.
 */
export function formatNumber(value: number, decimals: number): string {
  const text = Math.abs(value).toFixed(decimals);
  return value < 0 && Number(text) !== 0 ? `${MINUS}${text}` : text;
}
