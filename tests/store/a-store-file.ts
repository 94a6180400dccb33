import { join } from 'node:path';
import Database from 'better-sqlite3';
import type { TakelineFault } from '../../agent/process/fault.js';
import { STORE_FILE } from '../../agent/store/sqlite-file.js';
import { openSqliteWriter } from '../../agent/store/sqlite-writer.js';
import type { StoreWriter } from '../../agent/store/store.js';
import { event, readings, service, START_MS } from './samples.js';
import { dataFolder } from './store-twins.js';

export const SIGNALS = ['enamel/running'];

export function opening(dataDir: string): Promise<StoreWriter> {
  return openSqliteWriter({ dataDir, signals: SIGNALS });
}

/** The fault that something is refused with. */
export async function refusal(refused: Promise<unknown>): Promise<TakelineFault> {
  return refused.then(
    () => Promise.reject(new Error('it was not refused')),
    (fault: unknown) => fault as TakelineFault,
  );
}

/** A data folder with a store that holds readings, an entry and events, stopped. */
export async function filled(): Promise<{ readonly dataDir: string; readonly path: string }> {
  const dataDir = dataFolder();
  const store = await opening(dataDir);
  await store.appendInput(service());
  for (let i = 0; i < 20; i++) {
    await store.appendReadings(readings(...Array.from({ length: 1000 }, (_, at) => [0, START_MS + i * 1000 + at, at] as const)));
  }
  await store.writeOutputs({ events: Array.from({ length: 500 }, (_, i) => event({ id: `event-${i}` })) });
  await store.stop();
  return { dataDir, path: join(dataDir, STORE_FILE) };
}

/** Alters a store's file past Takeline. */
export function altered(path: string, change: (db: Database.Database) => void): void {
  const db = new Database(path);
  change(db);
  db.close();
}
