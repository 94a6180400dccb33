import { type PageAbout, readAbout } from '../../../agent/contract/page-about.js';
import type { Priority } from '../../../agent/flow/alarm-key.js';
import type { Call } from '../../../agent/flow/page/call.js';
import type { PageDeskSaved } from '../../../agent/flow/page/page-desk.js';
import type { Site } from '../../../agent/site/site.js';
import type { OutboxMessage, PageNote, PagingPast } from '../../../agent/store/page-outbox.js';
import type { AlarmEventAnswer, AlarmPaging, PageTold } from './answers.js';
import type { StandingEntry } from './live-messages.js';
import { alarmId } from './standing-alarms.js';

/** A page to somebody over one channel, and what it was about. */
export interface PagedMessage extends Omit<OutboxMessage, 'id' | 'address' | 'body'> {
  readonly about: PageAbout;
}

/** What is known of paging: of the agent's, or of the web server's own about a silent agent. */
export interface PagingKnown {
  readonly calls: readonly Call[];
  readonly messages: readonly PagedMessage[];
  readonly notes: readonly PageNote[];
}

/** Notes are on the machine's clock, an alarm's `since` on the data's: so much they may differ. */
const CLOCKS_APART_MS = 60_000;

/** What the store knows, as a screen is told of it. */
export function pagingKnown({ state, messages, notes }: PagingPast): PagingKnown {
  return {
    calls: state === undefined ? [] : (JSON.parse(state.state) as PageDeskSaved).calls,
    messages: messages.map(({ body, ...message }) => ({ ...message, about: readAbout(body) })),
    notes,
  };
}

/**
 * Who was called for each alarm and what became of it, or why nobody was.
 *
 * @param taken - transitions by which alarms were acknowledged, in any order
 * @param withWords - whether what mail servers said goes along: it may name addresses
 */
export function alarmPaging(
  alarms: readonly StandingEntry[],
  known: PagingKnown,
  taken: readonly AlarmEventAnswer[],
  { people, paging }: Pick<Site, 'people' | 'paging'>,
  withWords: boolean,
): readonly AlarmPaging[] {
  const nameOf = (person: string): string => people.find(({ id }) => id === person)?.name ?? person;
  const told = new Map<string, { readonly message: PagedMessage; readonly sinceMs: number }[]>();
  for (const message of known.messages) {
    for (const alarm of message.about.alarms) listIn(told, alarmId(alarm)).push({ message, sinceMs: alarm.sinceMs });
  }
  const notes = new Map<string, PageNote[]>();
  for (const note of known.notes) {
    if (note.alarm !== undefined) listIn(notes, alarmId({ ...note, alarm: note.alarm })).push(note);
    else if (note.call !== undefined) listIn(notes, callKey(note.call)).push(note);
  }
  const calls = new Map<string, Call>();
  for (const call of known.calls) for (const alarm of call.alarms) if (alarm !== null) calls.set(alarmId(alarm), call);
  const takes = new Map<string, AlarmEventAnswer>();
  for (const event of taken) {
    const id = alarmId(event);
    if (event.timeMs > (takes.get(id)?.timeMs ?? -Infinity)) takes.set(id, event);
  }

  return alarms.map((alarm) => {
    const { id } = alarm;
    const sinceMs = Date.parse(alarm.since);
    const call = calls.get(id);
    const isNow = (timeMs: number): boolean => timeMs >= sinceMs - CLOCKS_APART_MS;
    const pages = (told.get(id) ?? []).filter(
      (one) => Math.abs(one.sinceMs - sinceMs) <= 1 || isNow(one.message.madeMs) || one.message.call === call?.id,
    );
    const callIds = new Set([...pages.map(({ message }) => message.call), ...(call === undefined ? [] : [call.id])]);
    const why = [...(notes.get(id) ?? []), ...[...callIds].flatMap((one) => notes.get(callKey(one)) ?? [])]
      .filter(({ timeMs }) => isNow(timeMs))
      .toSorted((a, b) => a.timeMs - b.timeMs);
    const take = takes.get(id);
    const next = pages.at(-1)?.message.about.next;
    const dueMs = call === undefined ? undefined : firstDueMs(call, paging);
    return {
      id,
      pages: pages.map(({ message }) => pageTold(message, nameOf, withWords)),
      notes: why.map(({ timeMs, reason, person }) => ({ timeMs, reason, ...(person === undefined ? {} : { person: nameOf(person) }) })),
      ...(dueMs === undefined ? {} : { dueMs }),
      ...(next === undefined ? {} : { next: { atMs: next.atMs, to: nameOf(next.to) } }),
      ...(alarm.state !== 'acknowledged' || take?.by === undefined || take.timeMs < sinceMs
        ? {}
        : { taken: { by: take.by, timeMs: take.timeMs } }),
    };
  });
}

function pageTold(message: PagedMessage, nameOf: (person: string) => string, withWords: boolean): PageTold {
  const { person, channel, madeMs, state, tries, nextMs, settledMs, said, about } = message;
  return {
    ...{ person: nameOf(person), channel, madeMs, state, tries, alarms: about.alarms.length },
    ...(state === 'waiting' ? { nextMs } : {}),
    ...(settledMs === undefined ? {} : { settledMs }),
    ...(said === undefined || !withWords ? {} : { said }),
  };
}

/** When a call that has paged nobody yet does; undefined where it has. */
function firstDueMs({ lastMs, firstMs, openedMs, alarms }: Call, paging: Site['paging']): number | undefined {
  if (lastMs !== null || paging === undefined) return undefined;
  const order: readonly Priority[] = ['urgent', 'high', 'medium', 'low'];
  const first = order.find((priority) => alarms.some((alarm) => alarm?.priority === priority));
  const ladder = first && paging.ladders[first];
  return ladder && Math.max(firstMs, openedMs + (ladder.steps[0]?.afterMs ?? 0));
}

function callKey(call: string): string {
  return `call ${call}`;
}

function listIn<T>(map: Map<string, T[]>, key: string): T[] {
  const list = map.get(key) ?? [];
  map.set(key, list);
  return list;
}
