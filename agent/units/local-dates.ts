import { LocalDays } from './local-day.js';
import { localOffsetMs } from './local-instant.js';

const WEEK_MS = 7 * 24 * 3_600_000;

/**
 * The calendar dates of many times in one time zone, as a picture of a year needs them: the clocks of the zone are looked at once a week.
 * No zone has put its clocks forward and back within one week since 1970; in a week in which they are moved each time is looked up.
 */
export class LocalDates {
  private readonly days: LocalDays;
  /** By the week: how far the clocks are ahead of UTC, undefined where they are moved in it. */
  private readonly weeks = new Map<number, number | undefined>();

  /** @param timezone - IANA name; an unknown one throws RangeError */
  constructor(private readonly timezone: string) {
    this.days = new LocalDays(timezone);
  }

  /** @returns `YYYY-MM-DD` */
  of(timeMs: number): string {
    const aheadMs = this.aheadIn(Math.floor(timeMs / WEEK_MS));
    return aheadMs === undefined ? this.days.dateOf(timeMs) : new Date(timeMs + aheadMs).toISOString().slice(0, 10);
  }

  private aheadIn(week: number): number | undefined {
    if (!this.weeks.has(week)) {
      const [first, last] = [localOffsetMs(week * WEEK_MS, this.timezone), localOffsetMs((week + 1) * WEEK_MS, this.timezone)];
      this.weeks.set(week, first === last ? first : undefined);
    }
    return this.weeks.get(week);
  }
}
