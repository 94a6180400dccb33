import { formatNumber, toShown, unitOf, type DisplayKind, type UnitSystem } from '../../../agent/units/display.js';
import { localTime } from '../../../agent/units/local-time.js';
import type { DayAnswer } from '../../server/logic/answers.js';
import type { TimelineMark } from '../logic/timeline-marks.js';
import type { Table } from '../parts/chart-tools.js';
import { site, units } from '../state/session.js';

const COLUMNS = [
  { head: 'Elongation', kind: 'elongation', field: 'elongationPct', decimals: 4 },
  { head: 'Position', kind: 'travel', field: 'positionMm', decimals: 1 },
  { head: 'Skew', kind: 'travel', field: 'skewMm', decimals: 1 },
  { head: 'Breathing', kind: 'travel', field: 'breathingMm', decimals: 1 },
  { head: 'Longer by heat', kind: 'travel', field: 'thermalMm', decimals: 1 },
  { head: 'Left spring', kind: 'travel', field: 'springLeftMm', decimals: 1 },
  { head: 'Right spring', kind: 'travel', field: 'springRightMm', decimals: 1 },
  { head: 'Strand tension', kind: 'force', field: 'strandTensionN', decimals: 0 },
] as const satisfies readonly { head: string; kind: DisplayKind; field: keyof DayAnswer; decimals: number }[];

type Column = (typeof COLUMNS)[number];

/** The same days as a table, latest first, with what happened on each. */
export function DayTable({ days, marks }: { readonly days: readonly DayAnswer[]; readonly marks: readonly TimelineMark[] }) {
  const system = units.value;
  const happened = happenedOn(marks);
  return (
    <div class="table-frame" tabIndex={0} role="region" aria-label="Daily values">
      <table>
        <thead>
          <tr>
            <th scope="col">Day</th>
            {COLUMNS.map(({ head, kind }) => (
              <th scope="col" key={head}>
                {head}, {unitOf(kind, system)}
              </th>
            ))}
            <th scope="col">Pitches</th>
            <th scope="col">Worth</th>
            <th scope="col">What happened</th>
          </tr>
        </thead>
        <tbody>
          {days.toReversed().map((day) => (
            <tr key={day.date}>
              <th scope="row">{day.date}</th>
              {COLUMNS.map((column) => (
                <td key={column.head} class="number-cell">
                  {numberCell(day[column.field], column, system)}
                </td>
              ))}
              <td class="number-cell">{day.pitches}</td>
              <td>{day.flag === 'value' ? '' : day.flag}</td>
              <td class="happened">{happened.get(day.date)?.join('; ') ?? ''}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function numberCell(value: number | null, { kind, decimals }: Column, system: UnitSystem): string {
  if (value === null) return 'unknown';
  return formatNumber(toShown(kind, value, system), decimals + (system === 'imperial' && kind === 'travel' ? 1 : 0));
}

function happenedOn(marks: readonly TimelineMark[]): ReadonlyMap<string, readonly string[]> {
  const timezone = site.value?.timezone ?? 'UTC';
  const days = new Map<string, string[]>();
  for (const { timeMs, words } of marks) {
    const { date } = localTime(timeMs, timezone);
    const list = days.get(date) ?? [];
    if (!list.includes(words)) list.push(words);
    days.set(date, list);
  }
  return days;
}

/** The days as they are saved, in a person's units. */
export function dayRows(days: readonly DayAnswer[], system: UnitSystem): Table {
  return {
    head: ['day', ...COLUMNS.map(({ head, kind }) => `${head.toLowerCase()} (${unitOf(kind, system)})`), 'pitches', 'worth'],
    rows: days.map((day) => [
      day.date,
      ...COLUMNS.map(({ field, kind, decimals }) => {
        const value = day[field];
        return value === null ? null : Number(toShown(kind, value, system).toFixed(decimals + 2));
      }),
      day.pitches,
      day.flag,
    ]),
  };
}
