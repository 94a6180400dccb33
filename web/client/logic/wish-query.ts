import type { UnitSystem } from '../../../agent/units/display.js';
import { typedNumber, type TypedKind } from './typed-number.js';

/** What a person may ask of a plan, by the names of its query. */
export const WISH_NAMES = [
  'targetTensionN',
  'handlingSlackMm',
  'coldContractionMm',
  'besidesInwardsMm',
  'positionMm',
  'springLeftMm',
  'springRightMm',
  'elongationPct',
] as const;
export type WishName = (typeof WISH_NAMES)[number];

export interface WishField {
  readonly label: string;
  readonly kind: TypedKind & ('travel' | 'force' | 'number');
  /** What the plan takes where nothing is typed. */
  readonly usual: string;
  /** Measured by hand: goes before what the sensors say. */
  readonly measured: boolean;
}

export const WISH_FIELDS: Readonly<Record<WishName, WishField>> = {
  targetTensionN: { label: 'Strand tension to set', kind: 'force', usual: 'as at the reference', measured: false },
  handlingSlackMm: { label: 'Loose chain to handle the ends', kind: 'travel', usual: 'one pitch', measured: false },
  coldContractionMm: {
    label: 'Cold draws the carriage in by',
    kind: 'travel',
    usual: 'to the reference temperature',
    measured: false,
  },
  besidesInwardsMm: { label: 'Room to keep inwards besides', kind: 'travel', usual: 'none', measured: false },
  positionMm: { label: 'Carriage from the inner stop', kind: 'travel', usual: 'as settled', measured: true },
  springLeftMm: { label: 'Left spring', kind: 'travel', usual: 'as followed', measured: true },
  springRightMm: { label: 'Right spring', kind: 'travel', usual: 'as followed', measured: true },
  elongationPct: { label: 'Elongation', kind: 'number', usual: 'as computed', measured: true },
};

/** What is typed; nothing typed leaves it to the plan. */
export interface WishTyped {
  readonly typed: Readonly<Partial<Record<WishName, string>>>;
  readonly keepEveryCarrier: boolean;
}

export const NOTHING_WISHED: WishTyped = { typed: {}, keepEveryCarrier: false };

export interface WishRead {
  /** The query, without what cannot be read. */
  readonly query: Readonly<Record<string, string>>;
  readonly faults: Readonly<Partial<Record<WishName, string>>>;
}

/** The query that a wish stands for; what cannot be read is left to the plan, and what is wrong with it is said. */
export function readWish({ typed, keepEveryCarrier }: WishTyped, units: UnitSystem): WishRead {
  const query: Record<string, string> = {};
  const faults: Partial<Record<WishName, string>> = {};
  for (const name of WISH_NAMES) {
    const text = typed[name]?.trim() ?? '';
    if (text === '') continue;
    const { kind } = WISH_FIELDS[name];
    const read = typedNumber(text, kind, units, kind === 'number' ? undefined : 0);
    if ('fault' in read) faults[name] = read.fault;
    else if (read.value === 0 && ABOVE_ZERO.has(name)) faults[name] = 'Give more than 0.';
    else query[name] = String(read.value);
  }
  if (keepEveryCarrier) query['keepEveryCarrier'] = 'true';
  return { query, faults };
}

const ABOVE_ZERO: ReadonlySet<WishName> = new Set(['targetTensionN', 'springLeftMm', 'springRightMm']);
