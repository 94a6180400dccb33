import type { TakeupNow } from '../../../agent/contract/messages.js';
import type { Clock } from '../../../agent/process/clock.js';
import type { Site } from '../../../agent/site/site.js';
import { dateOfDayNumber } from '../../../agent/units/local-day.js';
import type { HistoryReader } from '../lazy-history.js';
import type { KnownOfTakeup } from '../logic/plan-basis.js';
import { ProblemError } from '../logic/problem.js';
import { logOfTakeup, serviceLog } from '../logic/service-log.js';
import type { EntryAnswer } from '../logic/work-answers.js';
import type { SettledDayOutput } from '../../../agent/flow/output.js';

export interface StockParts {
  readonly site: Pick<Site, 'timezone'>;
  readonly history: Pick<HistoryReader, 'settledDays' | 'entries'>;
  /** The latest picture of a take-up. */
  readonly nowOf: (conveyor: string, takeup: string) => TakeupNow | undefined;
  readonly agentHeard: () => boolean;
  readonly clock: Clock;
}

/** A chain outlives this many days without a settled one only where nobody runs it. */
const BACK_DAYS = 400;
const DAY_MS = 86_400_000;

/**
 * Everything that is known of a take-up, for a plan to begin with. A history that cannot be read leaves the live picture: a plan goes on
 * without it.
 */
export async function takeStock(
  { site, history, nowOf, agentHeard, clock }: StockParts,
  conveyor: string,
  takeup: string,
): Promise<KnownOfTakeup> {
  const nowMs = clock.nowMs();
  const today = Math.floor(nowMs / DAY_MS);
  const [days, log] = await Promise.all([
    readable<SettledDayOutput>(() => history.settledDays(conveyor, takeup, dateOfDayNumber(today - BACK_DAYS), dateOfDayNumber(today + 1))),
    readable<EntryAnswer>(async () => logOfTakeup(serviceLog(await history.entries()), conveyor, takeup)),
  ]);
  return { nowMs, timezone: site.timezone, now: nowOf(conveyor, takeup), heard: agentHeard(), days, log };
}

async function readable<T>(question: () => Promise<readonly T[]>): Promise<readonly T[]> {
  try {
    return await question();
  } catch (error) {
    if (error instanceof ProblemError && error.code === 'no-history') return [];
    throw error;
  }
}
