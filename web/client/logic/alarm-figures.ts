import type { StandingAlarm } from '../../../agent/contract/messages.js';
import { formatNumber, showText, type DisplayKind, type UnitSystem } from '../../../agent/units/display.js';
import { reasonOf } from './figure.js';

const KINDS: Readonly<Record<string, DisplayKind>> = { mm: 'travel', N: 'force', '%': 'elongation' };

/** What an alarm saw and at what it is raised, in the units of the reader: `8.2 mm, limit 11.5 mm`. */
export function valueAndLimit({ value, limit, unit }: Pick<StandingAlarm, 'value' | 'limit' | 'unit'>, units: UnitSystem): string {
  const seen = typeof value === 'number' ? inUnits(value, unit, units) : `unknown (${reasonOf(value) ?? ''})`;
  return limit === null ? seen : `${seen}, limit ${inUnits(limit, unit, units)}`;
}

/** A number of an alarm's own unit; a day, a second and a ratio are the same everywhere. */
export function inUnits(value: number, unit: string, units: UnitSystem): string {
  const kind = KINDS[unit];
  if (kind !== undefined) return showText(kind, value, units);
  const text = formatNumber(value, Number.isInteger(value) ? 0 : 2);
  return unit === 'ratio' ? text : `${text} ${unit}`;
}
