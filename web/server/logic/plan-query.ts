import type { RemovalWish } from '../../../agent/plan/removal-plan.js';
import type { GivenFigures } from '../../../agent/plan/takeup-state.js';
import type { UnitSystem } from '../../../agent/units/display.js';

/** What a plan is asked for beside its take-up. */
export interface PlanQuery {
  /** Figures that go before those known. */
  readonly figures: GivenFigures;
  readonly wish: RemovalWish;
  /** k over the chain's repeat: one removal to be told whatever the list. */
  readonly repeats: number | undefined;
  /** Moving load with empty carriers, N/m, for the loop. */
  readonly emptyNPerM: number | undefined;
  /** Units of the sentences; undefined: the site's. */
  readonly units: UnitSystem | undefined;
}

export type ReadPlanQuery = { readonly ok: true; readonly query: PlanQuery } | { readonly ok: false; readonly faults: readonly string[] };

type Range = 'any' | 'above 0' | 'at least 0' | 'whole, above 0';

/** Every number that a plan may be asked with, what it is in, and what it may be. The names are those of the query. */
const NUMBERS = {
  positionMm: ['mm from the inner stop', 'at least 0'],
  elongationPct: ['per cent', 'any'],
  pitches: ['pitches', 'whole, above 0'],
  springLeftMm: ['mm', 'above 0'],
  springRightMm: ['mm', 'above 0'],
  travelMmPerDay: ['mm a day', 'any'],
  breathingMm: ['mm', 'at least 0'],
  thermalMm: ['mm of chain', 'any'],
  targetTensionN: ['N', 'above 0'],
  handlingSlackMm: ['mm of chain', 'at least 0'],
  coldContractionMm: ['mm of carriage', 'at least 0'],
  reversingDrawInMm: ['mm of carriage', 'at least 0'],
  besidesInwardsMm: ['mm of carriage', 'at least 0'],
  repeats: ['repeats', 'whole, above 0'],
  emptyNPerM: ['N/m', 'at least 0'],
} as const satisfies Readonly<Record<string, readonly [unit: string, range: Range]>>;

type NumberName = keyof typeof NUMBERS;

/** The names that a query may have. */
export const PLAN_QUERY_NAMES: readonly string[] = [...Object.keys(NUMBERS), 'keepEveryCarrier', 'units'];

const DECIMAL = /^[+-]?(\d+\.?\d*|\.\d+)$/u;
/** Longer than any conveyor and stronger than any spring, by far. */
const MOST = 1e7;

/**
 * Reads the query of a plan; what is wrong with every part at once where it will not do.
 *
 * @param asked - values as they stand in the address, all text
 */
export function readPlanQuery(asked: Readonly<Record<string, string | undefined>>): ReadPlanQuery {
  const faults: string[] = [];
  const number = (name: NumberName): number | undefined => {
    const text = asked[name];
    if (text === undefined) return undefined;
    const [unit, range] = NUMBERS[name];
    const value = DECIMAL.test(text) ? Number(text) : NaN;
    if (fits(value, range)) return value;
    faults.push(`\`${name}\` takes a number of ${unit}${range === 'any' ? '' : `, ${range}`}, not ${JSON.stringify(text.slice(0, 40))}.`);
    return undefined;
  };
  for (const name of Object.keys(asked)) if (!PLAN_QUERY_NAMES.includes(name)) faults.push(`A plan knows nothing of \`${name}\`.`);
  const units = asked['units'];
  if (units !== undefined && units !== 'metric' && units !== 'imperial') faults.push('`units` is metric or imperial.');
  const keep = asked['keepEveryCarrier'];
  if (keep !== undefined && keep !== 'true' && keep !== 'false') faults.push('`keepEveryCarrier` is true or false.');
  const query: PlanQuery = {
    figures: withoutMissing({
      positionMm: number('positionMm'),
      elongationPct: number('elongationPct'),
      pitches: number('pitches'),
      springLeftMm: number('springLeftMm'),
      springRightMm: number('springRightMm'),
      travelMmPerDay: number('travelMmPerDay'),
      breathingMm: number('breathingMm'),
      thermalMm: number('thermalMm'),
    }),
    wish: withoutMissing({
      targetTensionN: number('targetTensionN'),
      handlingSlackMm: number('handlingSlackMm'),
      coldContractionMm: number('coldContractionMm'),
      reversingDrawInMm: number('reversingDrawInMm'),
      besidesInwardsMm: number('besidesInwardsMm'),
      keepEveryCarrier: keep === undefined ? undefined : keep === 'true',
    }),
    repeats: number('repeats'),
    emptyNPerM: number('emptyNPerM'),
    units: units === 'metric' || units === 'imperial' ? units : undefined,
  };
  return faults.length > 0 ? { ok: false, faults } : { ok: true, query };
}

function fits(value: number, range: Range): boolean {
  if (!(Math.abs(value) <= MOST)) return false;
  switch (range) {
    case 'any':
      return true;
    case 'above 0':
      return value > 0;
    case 'at least 0':
      return value >= 0;
    case 'whole, above 0':
      return Number.isInteger(value) && value > 0;
  }
}

function withoutMissing<T extends object>(all: T): T {
  return Object.fromEntries(Object.entries(all).filter(([, value]) => value !== undefined)) as T;
}
