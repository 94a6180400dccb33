import { dateOfDayNumber, dayNumberOf, LocalDays } from '../../../agent/units/local-day.js';
import { instantOfLocal, localTime } from '../../../agent/units/local-time.js';

/** By what alarms are judged. */
export const SPAN_KINDS = ['shift', 'day', 'month'] as const;
export type SpanKind = (typeof SPAN_KINDS)[number];

/** A shift, day or month of the site, from its first instant to the next one's. */
export interface SiteSpan {
  /** On the site's clock: `2026-03-02 06:00–14:00`, `2026-03-02`, `2026-03`. */
  readonly name: string;
  readonly fromMs: number;
  readonly toMs: number;
}

/** When shifts begin where nobody says otherwise: early, late and night. */
export const USUAL_SHIFTS: readonly string[] = ['06:00', '14:00', '22:00'];

const MINUTES = /^([01]\d|2[0-3]):[0-5]\d$/;
const MINUTE_MS = 60_000;

/**
 * The times at which shifts begin, in their order in the day.
 *
 * @param text - such as `06:00,14:00,22:00`
 * @returns undefined where one is no time of day, or two are the same
 */
export function readShifts(text: string): readonly string[] | undefined {
  const starts = text.split(',').map((part) => part.trim());
  if (!starts.every((start) => MINUTES.test(start)) || new Set(starts).size !== starts.length) return undefined;
  return starts.toSorted();
}

/** Shifts, days and months of one site: in its time zone, so that one in which the clock is changed is an hour shorter or longer. */
export class SiteSpans {
  private readonly days: LocalDays;

  /** @param shifts - when shifts begin, in order; a shift is of the day on which it begins */
  constructor(
    private readonly timezone: string,
    private readonly shifts: readonly string[] = USUAL_SHIFTS,
  ) {
    this.days = new LocalDays(timezone);
  }

  /** The span in which an instant lies. */
  at(kind: SpanKind, atMs: number): SiteSpan {
    if (kind === 'shift') return this.shiftAt(atMs);
    const { date, startMs, endMs } = this.days.of(atMs);
    if (kind === 'day') return { name: date, fromMs: startMs, toMs: endMs };
    const month = date.slice(0, 7);
    // The 28th and four days more lie in the next month, whichever it is.
    const next = dateOfDayNumber(dayNumberOf(`${month}-28`) + 4).slice(0, 7);
    return { name: month, fromMs: this.startOf(`${month}-01`), toMs: this.startOf(`${next}-01`) };
  }

  /** The last `count` spans up to the one in which an instant lies, in order. */
  upTo(kind: SpanKind, atMs: number, count: number): readonly SiteSpan[] {
    const spans: SiteSpan[] = [];
    for (let span = this.at(kind, atMs); spans.length < count; span = this.at(kind, span.fromMs - 1)) spans.unshift(span);
    return spans;
  }

  /** The first instant of a calendar date `YYYY-MM-DD`. */
  startOf(date: string): number {
    let day = this.days.of(Date.parse(`${date}T12:00:00Z`));
    // Noon of the far side of the world is another day there.
    if (day.date > date) day = this.days.of(day.startMs - 1);
    else if (day.date < date) day = this.days.of(day.endMs);
    return day.startMs;
  }

  private shiftAt(atMs: number): SiteSpan {
    const today = dayNumberOf(this.days.dateOf(atMs));
    const starts = [-1, 0, 1].flatMap((offset) => this.shiftStarts(dateOfDayNumber(today + offset)));
    const fromMs = Math.max(...starts.filter((startMs) => startMs <= atMs));
    const toMs = Math.min(...starts.filter((startMs) => startMs > atMs));
    const [begin, end] = [localTime(fromMs, this.timezone), localTime(toMs, this.timezone)];
    return { name: `${begin.date} ${begin.minutes}–${end.minutes}`, fromMs, toMs };
  }

  private shiftStarts(date: string): readonly number[] {
    return this.shifts.map((start) => instantOfLocal(`${date}T${start}`, this.timezone) ?? this.afterTheGap(date, start));
  }

  /** A shift that would begin in the hour that the clock skips begins as many minutes after midnight as it says. */
  private afterTheGap(date: string, start: string): number {
    const [hours = 0, minutes = 0] = start.split(':').map(Number);
    return this.startOf(date) + (hours * 60 + minutes) * MINUTE_MS;
  }
}
