import type { AlarmOutput, FindingOutput } from '../../agent/flow/output.js';
import type { TruthDay } from '../../agent/simulate/truth.js';
import { DAY_MS } from './line-site.js';
import { justifiedBy } from './justified.js';
import type { Expected } from './plant.js';
import type { PlantRun } from './run-plant.js';

/** What became of one thing that had to be found. */
export interface Found {
  readonly what: string;
  readonly key: string | undefined;
  /** From when it could be told until it was; running time where the on-delay counts that. */
  readonly delayMs: number;
  readonly allowedMs: number;
  readonly inTime: boolean;
  /** Told and asked-for count of pitches; undefined where none was asked for. */
  readonly pitches: { readonly told: number; readonly asked: number } | undefined;
}

export interface FalseAlarm {
  readonly timeMs: number;
  readonly key: string;
  readonly text: string;
}

/**
 * One settled window at the plant's rate of readings: ten minutes, or fifteen readings if longer; and four readings more, since the
 * spike filter judges a reading by the three after it.
 */
function windowMs({ plant }: PlantRun): number {
  const periodS = Math.max(plant.readingPeriodS ?? 0, plant.site.conveyors[0]?.takeups[0]?.sides.left.position.periodS ?? 1);
  return Math.max(600_000, 15 * periodS * 1000) + 4 * periodS * 1000;
}

/** Of each thing that had to be found: whether, by what, how late. */
export function foundIn(run: PlantRun): Found[] {
  return run.plant.expects.map((expected) => foundOf(run, expected));
}

function foundOf(run: PlantRun, expected: Expected): Found {
  const { onDelayMs, running, what, by } = expected;
  const fromMs = typeof expected.from === 'number' ? expected.from : firstDay(run, expected.from);
  // A day's mean says on which day a set-point was reached, not when: the day is given.
  const givenMs = typeof expected.from === 'number' ? 0 : DAY_MS;
  // The chain finds its tension for a minute after a stop.
  const allowedMs = onDelayMs + windowMs(run) + givenMs + 60_000;
  // An alarm on a day's level may come a little before: the to-and-fro reaches the set-point before the mean does. If it comes for no good
  // reason it counts as false elsewhere.
  const earliestMs = givenMs === 0 ? fromMs : -Infinity;
  const told = [
    ...run.findings.map(({ first }) => first).filter(({ finding, timeMs }) => by.includes(finding) && timeMs >= earliestMs),
    ...run.alarms.filter(({ alarm, change, timeMs }) => by.includes(alarm) && change === 'raised' && timeMs >= earliestMs),
  ].sort((a, b) => a.timeMs - b.timeMs)[0];
  const key = told === undefined ? undefined : told.kind === 'finding' ? told.finding : told.alarm;
  const delayMs = told === undefined ? NaN : running ? run.clock.between(fromMs, told.timeMs) : Math.max(0, told.timeMs - fromMs);
  const pitches = expected.pitches === undefined ? undefined : { told: pitchesTold(run, expected, fromMs), asked: expected.pitches };
  return { what, key, delayMs, allowedMs, inTime: delayMs <= allowedMs, pitches };
}

function firstDay(run: PlantRun, holds: (day: TruthDay) => boolean): number {
  const day = run.truth.days.find(holds);
  if (day === undefined) throw new Error(`${run.plant.id}: what is to be found never comes about`);
  return Date.parse(`${day.date}T00:00:00Z`);
}

/** The count that the first finding of chain work says; positive for taken out. */
function pitchesTold(run: PlantRun, { by }: Expected, fromMs: number): number {
  const finding = run.findings.find(({ first }) => by.includes(first.finding) && first.timeMs >= fromMs)?.first;
  return finding === undefined ? 0 : countIn(finding);
}

function countIn({ finding, suggestion, text }: FindingOutput): number {
  const sign = finding === 'chain-removed' ? 1 : finding === 'chain-inserted' ? -1 : 0;
  const suggested = suggestion?.['pitches'];
  const said = typeof suggested === 'number' ? suggested : Number(/what (?:taking out|putting in) (\d+) pitches/u.exec(text)?.[1] ?? 0);
  return sign * said;
}

/** Alarms and findings that nothing true gives reason for. */
export function falseAlarms(run: PlantRun): FalseAlarm[] {
  const alarms = run.alarms
    .filter(({ change }) => change === 'raised')
    .filter((alarm) => !justifiedBy(run, alarm.alarm, alarm.timeMs, alarm.timeMs))
    .map((alarm) => ({ timeMs: alarm.timeMs, key: alarm.alarm, text: numbers(alarm) }));
  const findings = run.findings
    .map(({ first }) => first)
    .filter(({ finding, fromMs, toMs }) => !justifiedBy(run, finding, fromMs, toMs))
    .map(({ finding, timeMs, text }) => ({ timeMs, key: finding, text }));
  return [...alarms, ...findings].sort((a, b) => a.timeMs - b.timeMs);
}

function numbers({ value, limit, unit }: AlarmOutput): string {
  return `${String(value)} ${unit} against ${String(limit)}`;
}

/** Errors of the elongation, in percentage points: the largest of all days that have a value, and the naive reading's. */
export interface ElongationError {
  readonly worst: number;
  readonly worstDate: string;
  readonly days: number;
  readonly withoutValue: number;
  readonly naive: number;
}

export function elongationError(run: PlantRun): ElongationError {
  let [worst, worstDate, days, withoutValue, naive] = [0, '', 0, 0, 0];
  const index = new Map(run.truth.days.map((day) => [`${day.date} ${day.takeup}`, day]));
  const takeups = run.plant.site.conveyors[0]?.takeups ?? [];
  for (const row of run.days) {
    const truth = index.get(`${row.date} ${row.takeup}`);
    // A day of little running is hardly a day: its median is of a few windows, its truth the mean of the whole.
    if (truth === undefined || truth.runHours < 2) continue;
    if (row.flag !== 'value') {
      withoutValue++;
      continue;
    }
    days++;
    const error = Math.abs(row.elongationPct - truth.elongationPct);
    if (error > worst || Number.isNaN(error)) [worst, worstDate] = [error, row.date];
  }
  for (const { date, takeup, elongationPct } of run.naive) {
    const truth = index.get(`${date} ${takeups[takeup]?.id ?? ''}`);
    if (truth !== undefined && truth.runHours >= 2) naive = Math.max(naive, Math.abs(elongationPct - truth.elongationPct));
  }
  return { worst, worstDate, days, withoutValue, naive };
}
