import type { AlarmCursor, AlarmFilter } from '../../agent/store/history.js';
import type { HistoryReader } from './lazy-history.js';
import type { AlarmEventAnswer, ChangesAnswer } from './logic/answers.js';
import { cursorText, silencesOfPage, silencesThrough } from './logic/changes-page.js';
import type { SilenceEvent } from './logic/own-alarm.js';

/** Which transitions are asked for. */
export type ChangesFilter = Omit<AlarmFilter, 'before' | 'limit'>;

/** What is known of the transitions of a stretch of time. */
export interface KnownTransitions {
  /** In order of time. */
  readonly transitions: readonly AlarmEventAnswer[];
  /** Nothing is known from before this time; absent where there is nothing before. */
  readonly knownFromMs?: number;
}

/** Rows that are asked of the store at a time. */
const PAGE = 5000;
/** Beyond it whoever asks must ask for less: a plant at which more happens has other troubles than its figures. */
const MOST_ROWS = 100_000;
/** Behind the stretch asked for, so many are looked through for what stood when it began. */
const LOOK_BACK_ROWS = 20_000;

/** The transitions of all alarms: those that the agent keeps, and those of its own silence, which the web server does. */
export class AlarmPast {
  constructor(
    private readonly history: Pick<HistoryReader, 'alarmEvents'>,
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
    const read: AlarmEventAnswer[] = [];
    let behind = 0;
    for await (const events of this.pages({ toMs })) {
      read.push(...events);
      behind += events.filter(({ timeMs }) => timeMs < fromMs).length;
      if (read.length >= MOST_ROWS || behind >= LOOK_BACK_ROWS) {
        const oldest = read.at(-1);
        return { transitions: read.reverse(), ...(oldest && { knownFromMs: oldest.timeMs }) };
      }
    }
    return { transitions: read.reverse() };
  }
}
