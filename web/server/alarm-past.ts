import { setImmediate } from 'node:timers/promises';
import type { AlarmCursor, AlarmFilter } from '../../agent/store/history.js';
import type { HistoryReader } from './lazy-history.js';
import type { AlarmTransition } from './logic/alarm-calls.js';
import type { AlarmEventAnswer, ChangesAnswer } from './logic/answers.js';
import { cursorText, silencesOfPage, silencesThrough } from './logic/changes-page.js';
import type { SilenceEvent } from './logic/own-alarm.js';

/** Which transitions are asked for. */
export type ChangesFilter = Omit<AlarmFilter, 'before' | 'limit'>;

/** What is known of the transitions of a stretch of time. */
export interface KnownTransitions {
  /** In order of time. */
  readonly transitions: readonly AlarmTransition[];
  /** Nothing is known from before this time; absent where there is nothing before. */
  readonly knownFromMs?: number;
}

/** Rows that are asked of the store at a time. */
const PAGE = 5000;
/** The same of the lean kind. */
const TURNS = 10_000;
/** Beyond it whoever asks must ask for less: a plant at which more happens has other troubles than its figures. */
const MOST_ROWS = 100_000;
/** Behind the stretch asked for, so many are looked through for what stood when it began. */
const LOOK_BACK_ROWS = 20_000;

/** The transitions of all alarms: those that the agent keeps, and those of its own silence, which the web server does. */
export class AlarmPast {
  constructor(
    private readonly history: Pick<HistoryReader, 'alarmEvents' | 'alarmTurns'>,
    private readonly silences: () => readonly SilenceEvent[],
  ) {}

  /** A page of transitions, latest first. Those of the agent's silence come on top of the limit. */
  async page(filter: ChangesFilter, limit: number, before?: AlarmCursor): Promise<ChangesAnswer> {
    const { events, total, next } = await this.history.alarmEvents({ ...filter, limit, ...(before && { before }) });
    const own = silencesThrough(this.silences(), filter);
    return {
      events: [...events, ...silencesOfPage(own, before?.timeMs, next?.timeMs)].toSorted((a, b) => b.timeMs - a.timeMs),
      total: total + own.length,
      ...(next && { next: cursorText(next) }),
    };
  }

  /** Page after page, latest first. */
  async *pages(filter: ChangesFilter): AsyncGenerator<readonly AlarmEventAnswer[]> {
    let before: AlarmCursor | undefined;
    do {
      const { events, next } = await this.history.alarmEvents({ ...filter, limit: PAGE, ...(before && { before }) });
      const own = silencesOfPage(silencesThrough(this.silences(), filter), before?.timeMs, next?.timeMs);
      yield [...events, ...own].toSorted((a, b) => b.timeMs - a.timeMs);
      before = next;
    } while (before !== undefined);
  }

  /** The transitions from one time to another, and those before that tell what stood at its beginning. */
  async transitions(fromMs: number, toMs: number): Promise<KnownTransitions> {
    const read: AlarmTransition[] = [];
    const own = silencesThrough(this.silences(), { toMs });
    let behind = 0;
    let before: AlarmCursor | undefined;
    do {
      const { turns, next } = await this.history.alarmTurns({ toMs, limit: TURNS, ...(before && { before }) });
      const ours = silencesOfPage(own, before?.timeMs, next?.timeMs);
      const page = ours.length === 0 ? turns : [...turns, ...ours].toSorted((a, b) => b.timeMs - a.timeMs);
      for (const turn of page) {
        read.push(turn);
        if (turn.timeMs < fromMs) behind++;
      }
      before = next;
      if (read.length >= MOST_ROWS || behind >= LOOK_BACK_ROWS) {
        const oldest = read.at(-1);
        return { transitions: read.reverse(), ...(oldest && { knownFromMs: oldest.timeMs }) };
      }
      // Whoever else asks meanwhile has a turn.
      if (before !== undefined) await setImmediate();
    } while (before !== undefined);
    return { transitions: read.reverse() };
  }
}
