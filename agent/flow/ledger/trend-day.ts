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

/** The columns, in the order in which `dayAt` reads them. */
const COLUMNS: readonly ((day: TrendDay) => number)[] = [
  ({ dayNumber }) => dayNumber,
  ({ endMs }) => endMs,
  ({ runHours }) => runHours,
  ({ pitches }) => pitches,
  ({ stretch }) => stretch,
  ({ elongationPct }) => elongationPct,
  ({ thermalMm }) => thermalMm,
  ({ hottestMm }) => hottestMm,
  ({ skewMm }) => skewMm,
  ({ flag }) => FLAGS.indexOf(flag),
];

/** Days in order, laid together: each takes some tens of bytes. */
export class TrendDays {
  private readonly columns: PackedColumns | undefined;
  private readonly count: number;

  constructor(days: readonly TrendDay[]) {
    this.count = days.length;
    const numberAt = (row: number, column: number): number => (COLUMNS[column] as (day: TrendDay) => number)(days[row] as TrendDay);
    this.columns = days.length === 0 ? undefined : new PackedColumns(days.length, COLUMNS.length, numberAt);
  }

  toArray(): TrendDay[] {
    const { columns } = this;
    return columns === undefined ? [] : Array.from({ length: this.count }, (_, row) => dayAt(columns, row));
  }
}

/** Written out one by one: at the end of each day this is done for every day of every take-up. */
function dayAt(columns: PackedColumns, row: number): TrendDay {
  return {
    dayNumber: columns.at(0, row),
    endMs: columns.at(1, row),
    runHours: columns.at(2, row),
    pitches: columns.at(3, row),
    stretch: columns.at(4, row),
    elongationPct: columns.at(5, row),
    thermalMm: columns.at(6, row),
    hottestMm: columns.at(7, row),
    skewMm: columns.at(8, row),
    flag: FLAGS[columns.at(9, row)] as TrendDay['flag'],
  };
}
