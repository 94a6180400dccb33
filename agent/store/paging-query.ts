import type { Database, Statement, Transaction } from 'better-sqlite3';
import { type Nullable, selectList, withoutNulls } from './columns.js';
import { NOTE_COLUMNS } from './output-columns.js';
import type { OutboxMessage, PageNote, PagingPast, PagingState } from './page-outbox.js';
import { messageOf, OUTBOX_SELECT } from './sqlite-pages.js';

/** More than these of each kind is nothing that a screen shows. */
const MOST = 500;

/** What paging has done. */
export class PagingQuery {
  private readonly selectState: Statement<[], PagingState>;
  private readonly selectMessages: Statement<[number], Nullable<OutboxMessage>>;
  private readonly selectNotes: Statement<[number], Nullable<PageNote>>;
  /** One look at the store, so that calls and their pages belong together. */
  private readonly look: Transaction<(fromMs: number) => PagingPast>;

  constructor(db: Database) {
    this.selectState = db.prepare('SELECT event_nr AS eventNr, state FROM page_desk');
    this.selectMessages = db.prepare(`${OUTBOX_SELECT} WHERE made_ms >= ? ORDER BY nr DESC LIMIT ${MOST}`);
    this.selectNotes = db.prepare(`SELECT ${selectList(NOTE_COLUMNS)} FROM page_note WHERE time_ms >= ? ORDER BY nr DESC LIMIT ${MOST}`);
    this.look = db.transaction((fromMs: number) => this.read(fromMs));
  }

  since(fromMs: number): PagingPast {
    return this.look(fromMs);
  }

  private read(fromMs: number): PagingPast {
    const state = this.selectState.get();
    return {
      ...(state && { state }),
      messages: this.selectMessages.all(fromMs).map(messageOf).reverse(),
      notes: this.selectNotes
        .all(fromMs)
        .map((row) => withoutNulls<PageNote>(row))
        .reverse(),
    };
  }
}
