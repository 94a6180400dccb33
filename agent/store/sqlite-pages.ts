import type { Statement, Transaction } from 'better-sqlite3';
import { eventOf, type EventRow } from './alarm-event-query.js';
import { insertInto, type Nullable, selectList, withoutNulls } from './columns.js';
import { EVENT_COLUMNS, MESSAGE_COLUMNS, NOTE_COLUMNS } from './output-columns.js';
import type { OutboxMessage, PageMessage, PageNote, PageStore, PagingState, PagingStep } from './page-outbox.js';
import type { SqliteFile } from './sqlite-file.js';

/** So many events are read at once. */
const EVENTS = 500;
const OUTBOX_COLUMNS = {
  ...MESSAGE_COLUMNS,
  state: 'state',
  tries: 'tries',
  nextMs: 'next_ms',
  settledMs: 'settled_ms',
  said: 'said',
} as const;

/** The columns of a message as the outbox shows it. */
export const OUTBOX_SELECT = `SELECT ${selectList(OUTBOX_COLUMNS)} FROM page_message`;

/** A row of the outbox as a message. */
export function messageOf(row: Nullable<OutboxMessage>): OutboxMessage {
  return withoutNulls<OutboxMessage>(row);
}

/** Pages in SQLite. */
export class SqlitePages implements PageStore {
  private readonly selectState: Statement<[], PagingState>;
  private readonly selectLast: Statement<[], number>;
  private readonly selectEvents: Statement<[number], EventRow & { readonly nr: number }>;
  private readonly selectWaiting: Statement<[], Nullable<OutboxMessage>>;
  private readonly putState: Statement<[object]>;
  private readonly addMessage: Statement<[object]>;
  private readonly addNote: Statement<[object]>;
  private readonly putTry: Statement<[object]>;
  private readonly putEnd: Statement<[object]>;
  private readonly writeStep: Transaction<(step: PagingStep) => void>;

  constructor(private readonly file: SqliteFile) {
    const { db } = file;
    this.selectState = db.prepare('SELECT event_nr AS eventNr, state FROM page_desk');
    this.selectLast = db.prepare<[], number>('SELECT coalesce(max(nr), 0) FROM alarm_event').pluck();
    this.selectEvents = db.prepare(`SELECT nr, ${selectList(EVENT_COLUMNS)} FROM alarm_event WHERE nr > ? ORDER BY nr LIMIT ${EVENTS}`);
    this.selectWaiting = db.prepare(`${OUTBOX_SELECT} WHERE state = 'waiting' ORDER BY nr`);
    this.putState = db.prepare('INSERT OR REPLACE INTO page_desk (only_one, event_nr, state) VALUES (1, @eventNr, @state)');
    // Due from the moment it is made.
    this.addMessage = db.prepare(`${insertInto('page_message', { ...MESSAGE_COLUMNS, nextMs: 'next_ms' })} ON CONFLICT (id) DO NOTHING`);
    this.addNote = db.prepare(insertInto('page_note', NOTE_COLUMNS));
    this.putTry = db.prepare(`UPDATE page_message SET tries = @tries, next_ms = @nextMs, said = @said WHERE id = @id`);
    this.putEnd = db.prepare(
      `UPDATE page_message SET state = @state, tries = @tries, settled_ms = @settledMs, said = @said WHERE id = @id AND state = 'waiting'`,
    );
    this.writeStep = db.transaction((step: PagingStep) => this.put(step));
  }

  load(): Promise<PagingState | undefined> {
    return this.file.attempt(() => this.selectState.get());
  }

  lastEventNr(): Promise<number> {
    return this.file.attempt(() => this.selectLast.get() ?? 0);
  }

  eventsAfter(eventNr: number): ReturnType<PageStore['eventsAfter']> {
    return this.file.attempt(() => this.selectEvents.all(eventNr).map(({ nr, ...row }) => ({ nr, event: eventOf(row) })));
  }

  write(step: PagingStep): Promise<void> {
    return this.file.attempt(() => this.writeStep.immediate(step));
  }

  waiting(): Promise<readonly OutboxMessage[]> {
    return this.file.attempt(() => this.selectWaiting.all().map(messageOf));
  }

  retry(id: string, tries: number, nextMs: number, said: string): Promise<void> {
    return this.file.attempt(() => void this.putTry.run({ id, tries, nextMs, said }));
  }

  settle(id: string, state: 'delivered' | 'failed', tries: number, settledMs: number, said: string): Promise<void> {
    return this.file.attempt(() => void this.putEnd.run({ id, state, tries, settledMs, said }));
  }

  private put({ eventNr, state, messages, notes }: PagingStep): void {
    for (const message of messages) this.addMessage.run({ ...message, nextMs: message.madeMs } satisfies PageMessage & { nextMs: number });
    for (const note of notes) this.addNote.run(noteRow(note));
    this.putState.run({ eventNr, state });
  }
}

function noteRow(note: PageNote): object {
  const { call = null, person = null, conveyor = null, takeup = null, signal = null, alarm = null } = note;
  return { ...note, call, person, conveyor, takeup, signal, alarm };
}
