import { dateOfDayNumber, dayNumberOf, LocalDays } from '../../agent/units/local-day.js';

/** The zone of the invented works: for an hour or two before midnight in UTC it is tomorrow there already. */
const WORKS_ZONE = 'Europe/Oslo';

/** The calendar day at the plant so many days before today, `YYYY-MM-DD`; a day to come where the number is negative. */
export function plantDay(daysAgo: number, timezone = WORKS_ZONE): string {
  return dateOfDayNumber(dayNumberOf(new LocalDays(timezone).dateOf(Date.now())) - daysAgo);
}
