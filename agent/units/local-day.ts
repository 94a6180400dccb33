/** One calendar day in a time zone: 23, 24 or 25 hours long. */
export interface LocalDay {
  /** `YYYY-MM-DD`. */
  readonly date: string;
  readonly startMs: number;
  /** The next day's start. */
  readonly endMs: number;
}

const HOUR_MS = 3600_000;

/** One a time zone: to make one takes as long as hundreds of uses, and a plant has hundreds of conveyors in one zone. */
const FORMATS = new Map<string, Intl.DateTimeFormat>();

/** Calendar days of one time zone, daylight saving included. The day asked for last is remembered, so a run of times is cheap. */
export class LocalDays {
  private readonly format: Intl.DateTimeFormat;
  private last: LocalDay | undefined;

  /** @param timezone - IANA name; an unknown one throws RangeError, so check it where a person types it */
  constructor(readonly timezone: string) {
    this.format = formatOf(timezone);
  }

  /** The day in which an instant lies. */
  of(timeMs: number): LocalDay {
    if (this.last !== undefined && timeMs >= this.last.startMs && timeMs < this.last.endMs) return this.last;
    const date = this.dateOf(timeMs);
    const startMs = this.boundary(timeMs - 26 * HOUR_MS, timeMs, (at) => this.dateOf(at) === date);
    const endMs = this.boundary(timeMs, timeMs + 26 * HOUR_MS, (at) => this.dateOf(at) !== date);
    this.last = { date, startMs, endMs };
    return this.last;
  }

  dateOf(timeMs: number): string {
    const parts = this.format.formatToParts(timeMs);
    const part = (type: string): string => parts.find((candidate) => candidate.type === type)?.value ?? '';
    return `${part('year').padStart(4, '0')}-${part('month')}-${part('day')}`;
  }

  /** The first whole second in (from, to] at which `holds`, which is false before and true after. */
  private boundary(fromMs: number, toMs: number, holds: (atMs: number) => boolean): number {
    let low = Math.floor(fromMs / 1000);
    let high = Math.ceil(toMs / 1000);
    if (holds(low * 1000)) return low * 1000;
    while (high - low > 1) {
      const mid = Math.floor((low + high) / 2);
      if (holds(mid * 1000)) high = mid;
      else low = mid;
    }
    return high * 1000;
  }
}

function formatOf(timeZone: string): Intl.DateTimeFormat {
  const known = FORMATS.get(timeZone);
  if (known !== undefined) return known;
  const numbers = { year: 'numeric', month: '2-digit', day: '2-digit' } as const;
  const format = new Intl.DateTimeFormat('en-CA', { timeZone, calendar: 'gregory', numberingSystem: 'latn', ...numbers });
  FORMATS.set(timeZone, format);
  return format;
}

/** Whole days since 1970-01-01 of a calendar date `YYYY-MM-DD`, free of any time zone. */
export function dayNumberOf(date: string): number {
  const [year = 1970, month = 1, day = 1] = date.split('-').map(Number);
  return Math.round(Date.UTC(year, month - 1, day) / 86_400_000);
}

/** The calendar date of a day number; a fraction counts as the day in which it lies. */
export function dateOfDayNumber(dayNumber: number): string {
  return new Date(Math.floor(dayNumber) * 86_400_000).toISOString().slice(0, 10);
}
