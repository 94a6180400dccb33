import { closeSync, openSync, writeSync } from 'node:fs';
import Database from 'better-sqlite3';

export const PAGE_BYTES = 4096;

/** Writes over part of a file. */
export function overwrite(path: string, at: number, bytes: Buffer): void {
  const file = openSync(path, 'r+');
  writeSync(file, bytes, 0, bytes.length, at);
  closeSync(file);
}

/** Pages of a table of a store, in no order. */
export function pagesOf(path: string, table: string): readonly number[] {
  const db = new Database(path, { readonly: true });
  const pages = db.prepare<[string], number>('SELECT pageno FROM dbstat WHERE name = ?').pluck().all(table);
  db.close();
  return pages;
}

/** Writes over a page of a table that is not its first one: the file opens all the same. */
export function spoilPage(path: string, table: string): void {
  overwrite(path, (pagesOf(path, table)[1]! - 1) * PAGE_BYTES, Buffer.alloc(512, 0xff));
}
