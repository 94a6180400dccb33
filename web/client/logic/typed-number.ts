import { inchesToMm, poundsToNewtons } from '../../../agent/units/convert.js';
import type { UnitSystem } from '../../../agent/units/display.js';

/** What a person types a number of; `travel`, `force` and `spring-rate` are typed in their own units. */
export type TypedKind = 'travel' | 'force' | 'spring-rate' | 'count' | 'number';

/** The number in the program's unit, or what is wrong with it. */
export type TypedNumber = { readonly value: number } | { readonly fault: string };

/** @param least - the least it can be, as the person types it */
export function typedNumber(text: string, kind: TypedKind, units: UnitSystem, least?: number): TypedNumber {
  // Whoever writes a comma before the decimals means them.
  const plain = text.trim().replace(',', '.').replace('\u2212', '-');
  if (!/^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain)) return { fault: 'Give a number, such as 12 or 12.5.' };
  const value = Number(plain);
  if (kind === 'count' && !Number.isSafeInteger(value)) return { fault: 'Give a whole number.' };
  if (least !== undefined && value < least) return { fault: `Give ${String(least)} or more.` };
  return { value: inOwnUnit(value, kind, units) };
}

/** Thousandths of a millimetre and of a newton are finer than anybody measures. */
function inOwnUnit(value: number, kind: TypedKind, units: UnitSystem): number {
  if (units === 'metric') return value;
  switch (kind) {
    case 'travel':
      return thousandths(inchesToMm(value));
    case 'force':
      return thousandths(poundsToNewtons(value));
    case 'spring-rate':
      return thousandths(poundsToNewtons(value) / inchesToMm(1));
    case 'count':
    case 'number':
      return value;
  }
}

function thousandths(value: number): number {
  return Math.round(value * 1000) / 1000;
}
