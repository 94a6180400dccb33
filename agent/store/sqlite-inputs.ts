import { isDeepStrictEqual } from 'node:util';
import type { Database, Statement } from 'better-sqlite3';
import { insertInto } from './columns.js';
import { ENTRY_LIST, entryOf, type EntryRow, jsonOf } from './entry-row.js';
import type { Appended, JournalInput, JsonObject } from './journal.js';
import { ENTRY_COLUMNS } from './output-columns.js';

type Numbered = JournalInput & { readonly seq: number };
type NumberedEntryRow = EntryRow & { readonly seq: number };

interface ActionRow {
  readonly seq: number;
  readonly id: string;
  readonly takenMs: number;
  readonly body: string;
}

const ENTRY = `SELECT seq, ${ENTRY_LIST} FROM service_entry`;
const ACTION = 'SELECT seq, id, taken_ms AS takenMs, body FROM operator_action';

/** The journal's inputs that are no readings: service entries, which are the service log at the same time, and operators' actions. */
export class SqliteInputs {
  private readonly addEntry: Statement<[NumberedEntryRow]>;
  private readonly addAction: Statement<[ActionRow]>;
  private readonly entryOfId: Statement<[string], NumberedEntryRow>;
  private readonly actionOfId: Statement<[string], ActionRow>;
  private readonly nextEntry: Statement<[number], NumberedEntryRow>;
  private readonly nextAction: Statement<[number], ActionRow>;

  constructor(db: Database) {
    this.addEntry = db.prepare(insertInto('service_entry', { seq: 'seq', ...ENTRY_COLUMNS }));
    this.addAction = db.prepare('INSERT INTO operator_action (seq, id, taken_ms, body) VALUES (@seq, @id, @takenMs, @body)');
    this.entryOfId = db.prepare(`${ENTRY} WHERE id = ?`);
    this.actionOfId = db.prepare(`${ACTION} WHERE id = ?`);
    this.nextEntry = db.prepare(`${ENTRY} WHERE seq > ? ORDER BY seq LIMIT 1`);
    this.nextAction = db.prepare(`${ACTION} WHERE seq > ? ORDER BY seq LIMIT 1`);
  }

  /** Adds an input under a sequence number, unless its id is known. One statement, and so one transaction. */
  append(input: JournalInput, seq: number): Appended {
    const body = JSON.stringify(bodyOf(input));
    const known = this.known(input);
    if (known)
      return isDeepStrictEqual(jsonOf(known.body), jsonOf(body)) ? { outcome: 'repeated', seq: known.seq } : { outcome: 'id-taken' };
    if (input.kind === 'operator') this.addAction.run({ seq, id: input.id, takenMs: input.timeMs, body });
    else this.addEntry.run({ ...input.entry, seq, takenMs: input.timeMs, takeup: input.entry.takeup ?? null, body });
    return { outcome: 'added', seq };
  }

  /** The first input after a sequence number. */
  next(afterSeq: number): Numbered | undefined {
    const entry = this.nextEntry.get(afterSeq);
    const action = this.nextAction.get(afterSeq);
    if (entry && !(action && action.seq < entry.seq)) return serviceOf(entry);
    return action && { kind: 'operator', seq: action.seq, timeMs: action.takenMs, id: action.id, action: jsonOf(action.body) };
  }

  private known(input: JournalInput): { readonly seq: number; readonly body: string } | undefined {
    return input.kind === 'operator' ? this.actionOfId.get(input.id) : this.entryOfId.get(input.entry.id);
  }
}

function serviceOf({ seq, ...row }: NumberedEntryRow): Numbered {
  const { takenMs, ...entry } = entryOf(row);
  return { kind: 'service', seq, timeMs: takenMs, entry };
}

function bodyOf(input: JournalInput): JsonObject {
  return input.kind === 'operator' ? input.action : input.entry.body;
}
