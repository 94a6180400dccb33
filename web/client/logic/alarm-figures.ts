import type { StandingAlarm } from '../../../agent/contract/messages.js';
import type { UnitSystem } from '../../../agent/units/display.js';
import { inUnits } from '../../../agent/units/in-units.js';
import { reasonOf } from './figure.js';

/** What an alarm saw and at what it is raised, in the units of the reader: `8.2 mm, limit 11.5 mm`. */
export function valueAndLimit({ value, limit, unit }: Pick<StandingAlarm, 'value' | 'limit' | 'unit'>, units: UnitSystem): string {
  const seen = typeof value === 'number' ? inUnits(value, unit, units) : `unknown (${reasonOf(value) ?? ''})`;
  return limit === null ? seen : `${seen}, limit ${inUnits(limit, unit, units)}`;
}
