import { parentPort, workerData } from 'node:worker_threads';
import Database from 'better-sqlite3';
import { TakelineFault } from '../process/fault.js';
import { CHECKED_TABLES } from './schema.js';
import type { CheckFound } from './store-check.js';
import { asStoreFault, storeFault } from './store-fault.js';

const path = String(workerData);
try {
  lookThrough(path);
} catch (error) {
  const fault = asStoreFault(path, 'read', error);
  if (!(fault instanceof TakelineFault)) throw fault;
  parentPort?.postMessage({ code: fault.code, words: fault.message } satisfies CheckFound);
}

/** @throws TakelineFault, or what SQLite fails with */
function lookThrough(path: string): void {
  const db = new Database(path, { readonly: true });
  try {
    for (const table of CHECKED_TABLES) {
      const found = String(db.pragma(`quick_check('${table}')`, { simple: true }));
      if (found !== 'ok') throw storeFault('store-damaged', path, `${table}: ${firstOf(found)}`);
    }
  } finally {
    db.close();
  }
}

/** SQLite tells of up to a hundred places, below a line that names the database: one is enough to know that a good copy is needed. */
function firstOf(found: string): string {
  const lines = found.split('\n');
  return lines.find((line) => !line.startsWith('***')) ?? found;
}
