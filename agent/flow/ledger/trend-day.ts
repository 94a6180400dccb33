import { PackedColumns } from './packed-columns.js';
import type { SettledDay } from './settled-day.js';

/** What the trend and the slow findings look at of a day long past. NaN where not known. */
export interface TrendDay {
  /** Days since 1970-01-01 of its date. */
  readonly dayNumber: number;
  readonly endMs: number;
  readonly runHours: number;
  readonly pitches: number;
  readonly stretch: number;
  readonly elongationPct: number;
  readonly thermalMm: number;
  /** Thermal growth at the warmest of its windows, mm of chain. */
  readonly hottestMm: number;
  readonly skewMm: number;
  readonly flag: SettledDay['row']['flag'];
}

export function trendDayOf({ row, dayNumber, endMs, runHours, stretch, hottestMm }: SettledDay): TrendDay {
  const { pitches, elongationPct, thermalMm, skewMm, flag } = row;
  return { dayNumber, endMs, runHours, pitches, stretch, elongationPct, thermalMm, hottestMm, skewMm, flag };
}

const FLAGS = ['value', 'provisional', 'bound'] as const satisfies readonly TrendDay['flag'][];
const NUMBERS = [
  ...['dayNumber', 'endMs', 'runHours', 'pitches', 'stretch', 'elongationPct', 'thermalMm', 'hottestMm', 'skewMm'],
  'flagNumber',
] as (keyof Packable)[];

type Packable = Omit<TrendDay, 'flag'> & { readonly flagNumber: number };

/** Days in order, laid together: each takes some tens of bytes. */
export class TrendDays {
  private readonly columns: PackedColumns | undefined;
  private readonly count: number;

  constructor(days: readonly TrendDay[]) {
    this.count = days.length;
    const rows = days.map(({ flag, ...numbers }) => ({ ...numbers, flagNumber: FLAGS.indexOf(flag) }));
    this.columns =
      rows.length === 0
        ? undefined
        : new PackedColumns(rows.length, NUMBERS.length, (row, column) => (rows[row] as Packable)[NUMBERS[column] as keyof Packable]);
  }

  toArray(): TrendDay[] {
    const { columns } = this;
    if (columns === undefined) return [];
    return Array.from({ length: this.count }, (_, row) => {
      const at = (column: number): number => columns.at(column, row);
      return {
        ...{ dayNumber: at(0), endMs: at(1), runHours: at(2), pitches: at(3), stretch: at(4), elongationPct: at(5), thermalMm: at(6) },
        ...{ hottestMm: at(7), skewMm: at(8), flag: FLAGS[at(9)] as TrendDay['flag'] },
      };
    });
  }
}
