import { localTime } from '../../../agent/units/local-time.js';
import { formatTime } from '../../../agent/units/time.js';
import type { AlarmName } from './alarm-calls.js';
import type { AlarmEventAnswer } from './answers.js';
import { csvRow, type Cell } from './csv.js';
import type { JudgedAnswer } from './judged-answer.js';

/** What the transitions and figures of alarms are as tables, for other programs: times in UTC and on the site's clock, durations in seconds. */

const CHANGE_HEAD = [
  ...['time', 'local_time', 'conveyor', 'takeup', 'side', 'signal', 'alarm', 'priority', 'change', 'from', 'to'],
  ...['value', 'limit', 'unit', 'by', 'why'],
];

/** The first row of a table of transitions. */
export const CHANGES_HEAD = csvRow(CHANGE_HEAD);

/** A transition as a row. */
export function changeRow(event: AlarmEventAnswer, timezone: string): string {
  const { timeMs, conveyor, takeup, side, signal, alarm, priority, change, from, to, value, limit, unit, by, why } = event;
  return csvRow([
    ...[...times(timeMs, timezone), conveyor, takeup, side, signal, alarm, priority, change, from, to],
    ...[value, limit, unit, by, why],
  ]);
}

/** The tables in which figures can be had. */
export const JUDGED_TABLES = ['spans', 'periods', 'frequent', 'chattering', 'fleeting', 'stale'] as const;
export type JudgedTable = (typeof JUDGED_TABLES)[number];

/** A table of what was judged, with its head. */
export function judgedTable(table: JudgedTable, answer: JudgedAnswer): string {
  const [head, rows] = tableOf(table, answer);
  return [head, ...rows].map(csvRow).join('');
}

const NAME_HEAD = ['conveyor', 'takeup', 'signal', 'alarm', 'priority'];

function tableOf(table: JudgedTable, answer: JudgedAnswer): readonly [head: readonly string[], rows: readonly (readonly Cell[])[]] {
  const zone = answer.timezone;
  switch (table) {
    case 'spans':
      return [SPAN_HEAD, answer.series.map((figures) => spanCells(figures, zone))];
    case 'periods':
      return [
        ['from', 'local_from', 'to', 'alarms', 'most_in_10_min', 'standing_at_end'],
        answer.periods.map((one) => [...times(one.fromMs, zone), formatTime(one.toMs), one.alarms, one.peakPeriod, one.standing]),
      ];
    case 'stale':
      return [
        [...NAME_HEAD, 'standing_since', 'local_standing_since'],
        answer.stale.map(({ name, fromMs }) => [...nameCells(name), ...(fromMs === null ? [null, null] : times(fromMs, zone))]),
      ];
    default:
      return [
        [...NAME_HEAD, 'alarms', 'share'],
        answer[table].map(({ name, alarms, share }) => [...nameCells(name), alarms, round(share)]),
      ];
  }
}

const SPAN_HEAD = [
  ...['span', 'from', 'local_from', 'to', 'alarms', 'per_10_min', 'most_in_10_min', 'share_over_10_in_10_min'],
  ...['urgent', 'high', 'medium', 'low', 'share_of_ten_most_frequent', 'chattering', 'fleeting', 'stale'],
  ...['standing_at_end', 'most_standing', 'acknowledged', 'acknowledge_median_s', 'acknowledge_p90_s', 'unacknowledged_at_end'],
];

function spanCells(figures: JudgedAnswer['series'][number], zone: string): readonly Cell[] {
  const { byPriority } = figures;
  return [
    ...[figures.name, ...times(figures.fromMs, zone), formatTime(figures.toMs), figures.alarms, round(figures.perPeriod)],
    ...[figures.peakPeriod, round(figures.overShare), byPriority.urgent, byPriority.high, byPriority.medium, byPriority.low],
    ...[round(figures.frequentShare), figures.chattering, figures.fleeting, figures.stale, figures.standing, figures.standingPeak],
    ...[figures.acknowledged, seconds(figures.acknowledgeMedianMs), seconds(figures.acknowledgeP90Ms), figures.unacknowledged],
  ];
}

function nameCells({ conveyor, takeup, signal, alarm, priority }: AlarmName): readonly Cell[] {
  return [conveyor, takeup, signal, alarm, priority];
}

function times(timeMs: number, timezone: string): readonly [utc: string, local: string] {
  const { date, seconds: time } = localTime(timeMs, timezone);
  return [formatTime(timeMs), `${date} ${time}`];
}

function seconds(ms: number | null): number | null {
  return ms === null ? null : Math.round(ms / 100) / 10;
}

function round(value: number | null): number | null {
  return value === null ? null : Math.round(value * 10_000) / 10_000;
}
