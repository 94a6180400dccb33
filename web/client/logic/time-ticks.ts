import { dateOfDayNumber, dayNumberOf } from '../../../agent/units/local-day.js';
import { localTime } from '../../../agent/units/local-time.js';
import { fromField } from './site-clock.js';
import type { TimeWindow } from './time-window.js';

/** A mark of a time axis. */
export interface TimeTick {
  readonly timeMs: number;
  readonly label: string;
}

const MINUTE = 60_000;
const DAY = 86_400_000;
/** Steps within a day, which divide it evenly. */
const CLOCK_STEPS_MIN = [1, 2, 5, 10, 15, 30, 60, 120, 180, 360, 720] as const;
const DAY_STEPS = [1, 2, 7, 14] as const;
const MONTH_STEPS = [1, 2, 3, 6, 12, 24, 60] as const;

/**
 * Marks at round times of the site's clock: minutes, hours, days, months or years, whichever leaves them apart.
 *
 * @param most - as many as there is room for, at least 1
 */
export function timeTicks({ fromMs, toMs }: TimeWindow, most: number, timezone: string): readonly TimeTick[] {
  const least = (toMs - fromMs) / Math.max(1, most);
  const clock = CLOCK_STEPS_MIN.find((minutes) => minutes * MINUTE >= least);
  if (clock !== undefined) return clockTicks(fromMs, toMs, clock, timezone);
  const days = DAY_STEPS.find((count) => count * DAY >= least);
  if (days !== undefined) return dayTicks(fromMs, toMs, days, timezone);
  const months = MONTH_STEPS.find((count) => count * 30 * DAY >= least) ?? 120;
  return monthTicks(fromMs, toMs, months, timezone);
}

function clockTicks(fromMs: number, toMs: number, stepMin: number, timezone: string): readonly TimeTick[] {
  const ticks: TimeTick[] = [];
  for (let day = firstDay(fromMs, timezone); ; day++) {
    const startMs = startOf(day, timezone);
    if (startMs > toMs) return ticks;
    // By the clock: the day on which it is put back has hours twice, of which the first is marked.
    for (let minute = 0; minute < 1440; minute += stepMin) {
      const timeMs = fromField(`${dateOfDayNumber(day)}T${two(Math.floor(minute / 60))}:${two(minute % 60)}`, timezone);
      if (timeMs === undefined || timeMs < fromMs || timeMs > toMs) continue;
      ticks.push({ timeMs, label: minute === 0 ? dateOfDayNumber(day).slice(5) : localTime(timeMs, timezone).minutes });
    }
  }
}

function dayTicks(fromMs: number, toMs: number, step: number, timezone: string): readonly TimeTick[] {
  const ticks: TimeTick[] = [];
  // Day 4 of the epoch was a Monday: whole weeks begin on one.
  const first = firstDay(fromMs, timezone);
  for (let day = first - ((((first - 4) % step) + step) % step); ; day += step) {
    const timeMs = startOf(day, timezone);
    if (timeMs > toMs) return ticks;
    if (timeMs >= fromMs) ticks.push({ timeMs, label: dateOfDayNumber(day).slice(5) });
  }
}

function monthTicks(fromMs: number, toMs: number, step: number, timezone: string): readonly TimeTick[] {
  const ticks: TimeTick[] = [];
  const [year = 1970, month = 1] = localTime(fromMs, timezone).date.split('-').map(Number);
  const first = year * 12 + month - 1;
  for (let count = first - (first % step); ; count += step) {
    const label = `${String(Math.floor(count / 12))}-${two((count % 12) + 1)}`;
    const timeMs = startOf(dayNumberOf(`${label}-01`), timezone);
    if (timeMs > toMs) return ticks;
    if (timeMs >= fromMs) ticks.push({ timeMs, label: step % 12 === 0 ? label.slice(0, 4) : label });
  }
}

function firstDay(timeMs: number, timezone: string): number {
  return dayNumberOf(localTime(timeMs, timezone).date);
}

/** Where a clock skips midnight the day begins an hour later. */
function startOf(day: number, timezone: string): number {
  const date = dateOfDayNumber(day);
  return fromField(`${date}T00:00`, timezone) ?? fromField(`${date}T01:00`, timezone) ?? day * DAY;
}

function two(count: number): string {
  return String(count).padStart(2, '0');
}
