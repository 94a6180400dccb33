import { alarmLives, type AlarmTransition } from './alarm-calls.js';
import { AlarmJudge, periodsOf, type JudgedPeriod, type SpanDetail, type SpanFigures } from './judge-alarms.js';
import type { SiteSpan, SiteSpans, SpanKind } from './site-spans.js';

/** `GET /api/alarms/judged`: the figures of a span, what they rest on, and those of the spans before it. */
export interface JudgedAnswer extends SpanDetail {
  readonly kind: SpanKind;
  readonly timezone: string;
  /** When shifts begin. */
  readonly shifts: readonly string[];
  readonly figures: SpanFigures;
  /** Whether the span still runs. */
  readonly running: boolean;
  /** Ten minutes each, or days where the span is a month. */
  readonly periods: readonly JudgedPeriod[];
  /** The figures of this span and of those before it, in order. Those that begin before anything is known are left out. */
  readonly series: readonly SpanFigures[];
  /** Nothing is known of alarms from before this time; absent where there is nothing before. */
  readonly knownFromMs?: number;
}

/** So many spans are shown beside each other: a week of shifts, a month of days, a year of months. */
const SERIES: Readonly<Record<SpanKind, number>> = { shift: 21, day: 31, month: 12 };

/** The spans that an answer is of, the one asked for last. */
export function judgedSpans(kind: SpanKind, atMs: number, spans: SiteSpans): readonly SiteSpan[] {
  return spans.upTo(kind, atMs, SERIES[kind]);
}

export interface JudgedParts {
  readonly kind: SpanKind;
  readonly timezone: string;
  readonly shifts: readonly string[];
  readonly calendar: SiteSpans;
  /** As `judgedSpans` gives them. */
  readonly spans: readonly SiteSpan[];
  readonly transitions: readonly AlarmTransition[];
  readonly knownFromMs?: number;
  readonly nowMs: number;
}

/** @returns undefined where the span asked for begins before anything is known */
export function judgedAnswer(parts: JudgedParts): JudgedAnswer | undefined {
  const { kind, timezone, shifts, transitions, knownFromMs, nowMs } = parts;
  const known = parts.spans.filter(({ fromMs }) => fromMs >= (knownFromMs ?? -Infinity));
  const span = known.at(-1);
  if (span === undefined) return undefined;
  const judge = new AlarmJudge(alarmLives(transitions), nowMs);
  return {
    ...{ kind, timezone, shifts },
    figures: judge.figures(span),
    running: span.toMs > nowMs,
    periods: judge.periods(kind === 'month' ? daysOf(span, parts.calendar) : periodsOf(span)),
    series: known.map((one) => judge.figures(one)),
    ...judge.detail(span),
    ...(knownFromMs === undefined ? {} : { knownFromMs }),
  };
}

function daysOf({ fromMs, toMs }: SiteSpan, calendar: SiteSpans): readonly SiteSpan[] {
  const days: SiteSpan[] = [];
  for (let atMs = fromMs; atMs < toMs;) {
    const day = calendar.at('day', atMs);
    days.push(day);
    atMs = day.toMs;
  }
  return days;
}
