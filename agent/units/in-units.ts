import { formatNumber, showText, type DisplayKind, type UnitSystem } from './display.js';

const KINDS: Readonly<Record<string, DisplayKind>> = { mm: 'travel', N: 'force', '%': 'elongation' };

/**
 * A number in a unit of the program's own, in the units of the reader; a day, a second and a ratio are the same everywhere.
 *
 * @param unit - mm, N, %, days, s, ratio, or nothing
 */
export function inUnits(value: number, unit: string, system: UnitSystem): string {
  const kind = KINDS[unit];
  if (kind !== undefined) return showText(kind, value, system);
  const text = formatNumber(value, Number.isInteger(value) ? 0 : 2);
  return unit === 'ratio' || unit === '' ? text : `${text} ${unit}`;
}
