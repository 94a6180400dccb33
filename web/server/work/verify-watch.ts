import type { TakeupNow } from '../../../agent/contract/messages.js';
import { dateOfDayNumber } from '../../../agent/units/local-day.js';
import { localTime } from '../../../agent/units/local-time.js';
import type { HistoryReader } from '../lazy-history.js';
import type { KeptCard } from '../logic/card.js';
import { ProblemError } from '../logic/problem.js';
import { standingOfDay, standingOfNow } from '../logic/standing.js';
import type { Clock } from '../../../agent/process/clock.js';
import type { Cards } from './cards.js';

export interface VerifyWatchParts {
  readonly cards: Pick<Cards, 'list' | 'change'>;
  readonly timezone: string;
  readonly history: Pick<HistoryReader, 'settledDays'>;
  /** The latest picture of a take-up while the agent is heard. */
  readonly heardOf: (conveyor: string, takeup: string) => TakeupNow | undefined;
  readonly tellWork: (conveyor: string) => void;
  readonly clock: Clock;
}

/** It must run so long before the chain has found its place again. */
const MUST_RUN_H = 1;
const DAY_MS = 86_400_000;
/** A closed card waits so long for the day after it; a conveyor that stands for longer is not the card's any more. */
const WAITS_DAYS = 60;

/**
 * Catches, for every closed card, the first position that settled an hour of running or more after the restart, and keeps it on the card.
 * Where nobody listened then, the first settled day after the day of the work stands in for it.
 */
export class VerifyWatch {
  private underWay = false;

  constructor(private readonly parts: VerifyWatchParts) {}

  /** Looks once. What cannot be kept or read now is tried again the next time. */
  async look(): Promise<void> {
    if (this.underWay) return;
    this.underWay = true;
    try {
      for (const card of this.parts.cards.list()) if (card.state === 'closed' && card.after === undefined) await this.lookAt(card);
    } catch (error) {
      if (!(error instanceof ProblemError)) throw error;
    } finally {
      this.underWay = false;
    }
  }

  private async lookAt(card: KeptCard): Promise<void> {
    const { cards, heardOf, tellWork } = this.parts;
    const now = heardOf(card.conveyor, card.takeup);
    const { restartRunHours } = card;
    if (restartRunHours === undefined && now?.runHours !== undefined) {
      const { runHours } = now;
      await cards.change(card.number, (kept) => (kept.restartRunHours === undefined ? { ...kept, restartRunHours: runHours } : kept));
      return;
    }
    const ran = now?.settledRunHours !== undefined && restartRunHours !== undefined && now.settledRunHours >= restartRunHours + MUST_RUN_H;
    const after = ran ? standingOfNow(now) : await this.dayAfter(card);
    if (after === undefined) return;
    await cards.change(card.number, (kept) => (kept.after === undefined ? { ...kept, after, version: kept.version + 1 } : kept));
    tellWork(card.conveyor);
  }

  private async dayAfter({ conveyor, takeup, ended }: KeptCard): Promise<KeptCard['after']> {
    const { history, timezone, clock } = this.parts;
    const endedMs = Date.parse(ended?.at ?? '');
    const nowMs = clock.nowMs();
    // Only where the day after the work is over: until then a window may still be caught, which is of the hour and not of a day.
    if (!(nowMs - endedMs > 2 * DAY_MS) || nowMs - endedMs > WAITS_DAYS * DAY_MS) return undefined;
    const workDate = localTime(endedMs, timezone).date;
    const today = localTime(nowMs, timezone).date;
    const days = await history.settledDays(conveyor, takeup, workDate, dateOfDayNumber(Math.floor(nowMs / DAY_MS) + 1));
    const first = days.find(({ date, positionMm }) => date > workDate && date < today && Number.isFinite(positionMm));
    return first === undefined ? undefined : standingOfDay(first);
  }
}
