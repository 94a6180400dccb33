import type { Priority } from '../../../agent/flow/alarm-key.js';
import { quantile } from '../../../agent/units/quantile.js';
import type { AlarmCall, AlarmLives, AlarmName, Stretch } from './alarm-calls.js';
import { chatteringCalls, fleetingCalls } from './nuisance-calls.js';
import type { SiteSpan } from './site-spans.js';
import { courseOf, type StandingCourse } from './standing-course.js';

/** The period by which IEC 62682 counts how many alarms come. */
export const PERIOD_MS = 10 * 60_000;
/** More alarms than this in one period are more than anybody can look at. */
const MOST_A_PERIOD = 10;
/** An alarm that has stood for longer is stale. */
const STALE_MS = 24 * 3600_000;
/** The figures name so many of the most frequent alarms. */
const MOST_FREQUENT = 10;

/** The figures of one span. Shares are 0…1; null where there is nothing to take them of. */
export interface SpanFigures {
  readonly name: string;
  readonly fromMs: number;
  /** Its end, or now where it still runs. */
  readonly toMs: number;
  /** How many times an alarm called for somebody. */
  readonly alarms: number;
  readonly perPeriod: number | null;
  /** The most in one period, the periods counted from the beginning of the span. */
  readonly peakPeriod: number;
  /** The share of periods with more alarms than anybody can look at. */
  readonly overShare: number | null;
  readonly byPriority: Readonly<Record<Priority, number>>;
  /** The share of the calls that the ten most frequent alarms made. */
  readonly frequentShare: number | null;
  /** Calls that were part of three or more of the same alarm in a minute. */
  readonly chattering: number;
  /** Calls that were over within a minute without anybody having acted. */
  readonly fleeting: number;
  /** Alarms that had stood for over a day at the end of the span. */
  readonly stale: number;
  readonly standing: number;
  readonly standingPeak: number;
  readonly acknowledged: number;
  readonly acknowledgeMedianMs: number | null;
  readonly acknowledgeP90Ms: number | null;
  /** Alarms that waited to be acknowledged at the end of the span. */
  readonly unacknowledged: number;
}

/** How often one alarm called, and its share of all. */
export interface AlarmCount {
  readonly name: AlarmName;
  readonly alarms: number;
  readonly share: number;
}

/** A period, or a day, of a span. */
export interface JudgedPeriod {
  readonly fromMs: number;
  readonly toMs: number;
  readonly alarms: number;
  /** The most in ten minutes of it. */
  readonly peakPeriod: number;
  /** Standing at its end, or now. */
  readonly standing: number;
}

/** What the figures of a span rest on. */
export interface SpanDetail {
  /** The ten most frequent, most frequent first. */
  readonly frequent: readonly AlarmCount[];
  readonly chattering: readonly AlarmCount[];
  readonly fleeting: readonly AlarmCount[];
  /** Longest first. */
  readonly stale: readonly Stretch[];
}

/** Judges spans of time by what became of the alarms, as the clause of IEC 62682 on monitoring and assessment asks. */
export class AlarmJudge {
  private readonly calls: readonly AlarmCall[];
  private readonly chattering: ReadonlySet<AlarmCall>;
  private readonly fleeting: ReadonlySet<AlarmCall>;
  private readonly standing: StandingCourse;
  private readonly waiting: StandingCourse;

  /** @param nowMs - up to when anything is known */
  constructor(
    private readonly lives: AlarmLives,
    private readonly nowMs: number,
  ) {
    this.calls = lives.calls;
    this.chattering = chatteringCalls(lives.calls);
    this.fleeting = fleetingCalls(lives.calls);
    this.standing = courseOf(lives.stretches);
    this.waiting = courseOf(lives.waiting);
  }

  /** @throws RangeError where the span has not begun */
  figures(span: SiteSpan): SpanFigures {
    const { name, fromMs } = span;
    const toMs = this.endOf(span);
    const calls = between(this.calls, fromMs, toMs);
    const perPeriod = countByPeriod(calls, fromMs, toMs);
    const acknowledgements = between(this.lives.acknowledgements, fromMs, toMs);
    const waits = Float64Array.from(acknowledgements.flatMap(({ afterMs }) => afterMs ?? []));
    const frequent = countByAlarm(calls).slice(0, MOST_FREQUENT);
    return {
      ...{ name, fromMs, toMs },
      alarms: calls.length,
      perPeriod: shareOf(calls.length, (toMs - fromMs) / PERIOD_MS),
      peakPeriod: Math.max(0, ...perPeriod),
      overShare: shareOf(perPeriod.filter((count) => count > MOST_A_PERIOD).length, perPeriod.length),
      byPriority: byPriority(calls),
      frequentShare: shareOf(
        frequent.reduce((sum, { alarms }) => sum + alarms, 0),
        calls.length,
      ),
      chattering: calls.filter((call) => this.chattering.has(call)).length,
      fleeting: calls.filter((call) => this.fleeting.has(call)).length,
      stale: this.staleAt(toMs).length,
      // A span ends before the instant with which the next one begins.
      standing: this.standing.at(toMs - 1),
      standingPeak: this.standing.peak(fromMs, toMs - 1),
      acknowledged: acknowledgements.length,
      acknowledgeMedianMs: known(quantile(waits, waits.length, 0.5)),
      acknowledgeP90Ms: known(quantile(waits, waits.length, 0.9)),
      unacknowledged: this.waiting.at(toMs - 1),
    };
  }

  /** Which alarms the figures of a span are of. */
  detail(span: SiteSpan): SpanDetail {
    const toMs = this.endOf(span);
    const calls = between(this.calls, span.fromMs, toMs);
    return {
      frequent: countByAlarm(calls).slice(0, MOST_FREQUENT),
      chattering: countByAlarm(calls.filter((call) => this.chattering.has(call))),
      fleeting: countByAlarm(calls.filter((call) => this.fleeting.has(call))),
      stale: this.staleAt(toMs),
    };
  }

  /** A span in its parts, of which those that have not begun are left out. */
  periods(parts: readonly Pick<SiteSpan, 'fromMs' | 'toMs'>[]): readonly JudgedPeriod[] {
    return parts
      .filter(({ fromMs }) => fromMs < this.nowMs)
      .map(({ fromMs, toMs }) => {
        const endMs = Math.min(toMs, this.nowMs);
        const calls = between(this.calls, fromMs, endMs);
        const peakPeriod = Math.max(0, ...countByPeriod(calls, fromMs, endMs));
        return { fromMs, toMs, alarms: calls.length, peakPeriod, standing: this.standing.at(endMs - 1) };
      });
  }

  private endOf({ name, fromMs, toMs }: SiteSpan): number {
    if (fromMs > this.nowMs) throw new RangeError(`${name} has not begun`);
    return Math.min(toMs, this.nowMs);
  }

  private staleAt(atMs: number): readonly Stretch[] {
    const stood = ({ fromMs, toMs }: Stretch): boolean => (fromMs ?? -Infinity) < atMs - STALE_MS && (toMs ?? Infinity) >= atMs;
    return this.lives.stretches.filter(stood).toSorted((a, b) => (a.fromMs ?? -Infinity) - (b.fromMs ?? -Infinity));
  }
}

/** The periods of a span, from its beginning; the last one may be shorter. */
export function periodsOf({ fromMs, toMs }: Pick<SiteSpan, 'fromMs' | 'toMs'>): readonly Pick<SiteSpan, 'fromMs' | 'toMs'>[] {
  return Array.from({ length: Math.ceil((toMs - fromMs) / PERIOD_MS) }, (_, index) => ({
    fromMs: fromMs + index * PERIOD_MS,
    toMs: Math.min(fromMs + (index + 1) * PERIOD_MS, toMs),
  }));
}

function countByPeriod(calls: readonly AlarmCall[], fromMs: number, toMs: number): readonly number[] {
  const counts = periodsOf({ fromMs, toMs }).map(() => 0);
  for (const { atMs } of calls) {
    const index = Math.floor((atMs - fromMs) / PERIOD_MS);
    counts[index] = (counts[index] ?? 0) + 1;
  }
  return counts;
}

function countByAlarm(calls: readonly AlarmCall[]): readonly AlarmCount[] {
  const counts = new Map<string, { readonly name: AlarmName; alarms: number }>();
  for (const { name } of calls) {
    const count = counts.get(name.id) ?? { name, alarms: 0 };
    count.alarms += 1;
    counts.set(name.id, count);
  }
  return [...counts.values()]
    .toSorted((a, b) => b.alarms - a.alarms || (a.name.id < b.name.id ? -1 : 1))
    .map(({ name, alarms }) => ({ name, alarms, share: alarms / calls.length }));
}

function byPriority(calls: readonly AlarmCall[]): Record<Priority, number> {
  const counts = { urgent: 0, high: 0, medium: 0, low: 0 };
  for (const { name } of calls) counts[name.priority] += 1;
  return counts;
}

/** Those of a list in order of time with `fromMs` ≤ time < `toMs`. */
function between<T extends { readonly atMs: number }>(list: readonly T[], fromMs: number, toMs: number): readonly T[] {
  return list.slice(firstFrom(list, fromMs), firstFrom(list, toMs));
}

function firstFrom(list: readonly { readonly atMs: number }[], fromMs: number): number {
  let [low, high] = [0, list.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((list[middle]?.atMs ?? Infinity) < fromMs) low = middle + 1;
    else high = middle;
  }
  return low;
}

function shareOf(part: number, whole: number): number | null {
  return whole === 0 ? null : part / whole;
}

function known(value: number): number | null {
  return Number.isNaN(value) ? null : value;
}
