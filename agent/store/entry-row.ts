import { type Nullable, selectList, withoutNulls } from './columns.js';
import type { LoggedEntry } from './history.js';
import type { JsonObject } from './journal.js';
import { ENTRY_COLUMNS } from './output-columns.js';

/** A service entry as SQL gives it. */
export type EntryRow = Nullable<Omit<LoggedEntry, 'body'>> & { readonly body: string };

/** What is selected for an `EntryRow`. */
export const ENTRY_LIST = selectList(ENTRY_COLUMNS);

/** The entry of a row. */
export function entryOf({ body, ...row }: EntryRow): LoggedEntry {
  return { ...withoutNulls<Omit<LoggedEntry, 'body'>>(row), body: jsonOf(body) };
}

/** An object that was stored as JSON. @throws SyntaxError where the text is no longer JSON */
export function jsonOf(text: string): JsonObject {
  return JSON.parse(text) as JsonObject;
}
