import { formatNumber, toShown, unitOf, type UnitSystem } from '../../../agent/units/display.js';
import { localTime } from '../../../agent/units/local-time.js';
import { formatTime } from '../../../agent/units/time.js';
import {
  isKnown,
  quantitiesOf,
  rowsIn,
  type HistoryRow,
  type HistoryStretch,
  type Quantity,
  type Spread,
} from '../logic/history-series.js';
import { quantityWords, runningWord, widthWords } from '../logic/history-words.js';
import type { TimeWindow } from '../logic/time-window.js';
import type { Table } from '../parts/chart-tools.js';
import { site, units } from '../state/session.js';

/** As many rows as a person scrolls through; the file has them all. */
const MOST_ROWS = 400;
const PARTS = ['min', 'mean', 'max'] as const satisfies readonly (keyof Spread)[];
const PART_WORDS = { min: 'least', mean: 'mean', max: 'most' } as const;

/** The rows of a window as a table, latest first. */
export function HistoryTable({ stretch, window }: { readonly stretch: HistoryStretch; readonly window: TimeWindow }) {
  const rows = knownRows(stretch, window).toReversed();
  const columns = columnsOf(stretch);
  const timezone = site.value?.timezone ?? 'UTC';
  return (
    <>
      <p class="quiet-words">
        {rows.length > MOST_ROWS
          ? `The latest ${MOST_ROWS} of ${rows.length} rows; the CSV has them all.`
          : `${rows.length} ${rows.length === 1 ? 'row' : 'rows'}.`}{' '}
        Each stands for {widthWords(stretch.widthMs)} from its time on.
      </p>
      <div class="table-frame" tabIndex={0} role="region" aria-label="History">
        <table>
          <thead>
            <tr>
              <th scope="col">Time</th>
              {stretch.running === null ? null : <th scope="col">Conveyor</th>}
              {columns.map(({ quantity, part, head }) => (
                <th scope="col" key={`${quantity} ${part}`}>
                  {head}, {unitOf(quantityWords(quantity).kind, units.value)}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.slice(0, MOST_ROWS).map((row) => {
              const { date, seconds } = localTime(row.timeMs, timezone);
              return (
                <tr key={row.timeMs}>
                  <th scope="row">{`${date} ${seconds}`}</th>
                  {stretch.running === null ? null : <td>{runningWord(row.running)}</td>}
                  {columns.map(({ quantity, part }) => (
                    <td key={`${quantity} ${part}`} class="number-cell">
                      {cell(row, quantity, part, units.value)}
                    </td>
                  ))}
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
    </>
  );
}

interface Column {
  readonly quantity: Quantity;
  readonly part: keyof Spread;
  readonly head: string;
}

/** A quantity of which only one value a stretch is known has one column. */
function columnsOf(stretch: HistoryStretch): readonly Column[] {
  return quantitiesOf(stretch).flatMap((quantity) => {
    const spread = stretch.rows.some(({ values }) => (values[quantity]?.max ?? 0) - (values[quantity]?.min ?? 0) > 0);
    const { words } = quantityWords(quantity);
    return spread
      ? PARTS.map((part) => ({ quantity, part, head: `${words}, ${PART_WORDS[part]}` }))
      : [{ quantity, part: 'mean', head: words } as const];
  });
}

function knownRows(stretch: HistoryStretch, window: TimeWindow): readonly HistoryRow[] {
  return rowsIn(stretch, window).filter(isKnown);
}

function cell({ values }: HistoryRow, quantity: Quantity, part: keyof Spread, system: UnitSystem): string {
  const value = values[quantity]?.[part];
  if (value === undefined || Number.isNaN(value)) return 'unknown';
  const { kind, decimals } = quantityWords(quantity);
  return formatNumber(toShown(kind, value, system), decimals + 1 + (system === 'imperial' && kind === 'travel' ? 1 : 0));
}

/** The rows of a window as they are saved: times in UTC, values in a person's units. */
export function historyRows(stretch: HistoryStretch, window: TimeWindow, system: UnitSystem): Table {
  const columns = columnsOf(stretch);
  return {
    head: [
      'time (UTC)',
      ...(stretch.running === null ? [] : ['ran (%)', 'stood (%)']),
      ...columns.map(({ head, quantity }) => `${head.toLowerCase()} (${unitOf(quantityWords(quantity).kind, system)})`),
    ],
    rows: knownRows(stretch, window).map((row) => [
      formatTime(Math.round(row.timeMs)),
      ...(stretch.running === null ? [] : [row.running?.ran, row.running?.stood].map(percent)),
      ...columns.map(({ quantity, part }) => {
        const value = row.values[quantity]?.[part];
        return value === undefined ? null : Number(toShown(quantityWords(quantity).kind, value, system).toFixed(4));
      }),
    ]),
  };
}

function percent(share: number | undefined): number | null {
  return share === undefined ? null : Number((100 * share).toFixed(2));
}
