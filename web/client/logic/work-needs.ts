import type { TakeupNow } from '../../../agent/contract/messages.js';
import { dayNumberOf } from '../../../agent/units/local-day.js';

/** A date that calls for work, and for which. */
export interface DueWork {
  readonly what: 'stroke-out' | 'spring-slack' | 'wear-limit';
  readonly words: string;
  /** What it calls for, as a technician says it. */
  readonly work: string;
  readonly date: string;
  readonly early: string;
  readonly late: string | null;
  /** Days from today to the early date; negative when it is past. */
  readonly days: number;
}

/** Further off than this, nobody plans yet. */
export const DUE_WITHIN_DAYS = 90;

const WORDS: Readonly<Record<DueWork['what'], Pick<DueWork, 'words' | 'work'>>> = {
  'stroke-out': { words: 'Travel used up', work: 'shorten the chain' },
  'spring-slack': { words: 'Springs slack', work: 'turn the nuts' },
  'wear-limit': { words: 'Chain worn out', work: 'replace the chain' },
};

/**
 * The dates that a take-up's trend arrives at, the one that may come first before the others; none without a forecast.
 *
 * @param today - `YYYY-MM-DD` on the site's clock
 */
export function dueWork(trend: TakeupNow['trend'] | undefined, today: string): readonly DueWork[] {
  if (trend === undefined) return [];
  const dates = { 'stroke-out': trend.strokeOut, 'spring-slack': trend.springSlack, 'wear-limit': trend.wearLimit };
  return (Object.keys(dates) as DueWork['what'][])
    .flatMap((what): readonly DueWork[] => {
      const forecast = dates[what];
      return forecast === null ? [] : [{ what, ...WORDS[what], ...forecast, days: dayNumberOf(forecast.early) - dayNumberOf(today) }];
    })
    .toSorted((a, b) => a.days - b.days);
}

/** When it may be, from today: `in 12 to 40 days`, `since about 2026-03-20`. */
export function dueWords({ days, early, date, late }: DueWork): string {
  const range = early === late ? `about ${date}` : `about ${date}, ${early} to ${late ?? 'open'}`;
  if (dayNumberOf(date) - dayNumberOf(early) + days < 0) return `since ${range}`;
  if (days < 0) return `any day now (${range})`;
  if (days === 0) return `from today (${range})`;
  return `in ${String(days)} ${days === 1 ? 'day' : 'days'} at the earliest (${range})`;
}
