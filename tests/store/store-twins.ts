import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { openSqliteReader } from '../../agent/store/sqlite-reader.js';
import { openSqliteWriter } from '../../agent/store/sqlite-writer.js';
import type { StoreReader, StoreWriter } from '../../agent/store/store.js';

/** A store of the test's own, in whatever kind of database. */
export interface TestStore {
  writer(signals?: readonly string[]): Promise<StoreWriter>;
  reader(): Promise<StoreReader>;
}

/** Every kind of store; the suites hold all of them to the same promises. */
export const TWINS: readonly { readonly name: string; readonly make: () => TestStore }[] = [{ name: 'SQLite', make: sqliteStore }];

/** A data folder that goes when the test ends. */
export function dataFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'takeline-store-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  return folder;
}

function sqliteStore(): TestStore {
  const dataDir = dataFolder();
  return {
    writer: (signals = []) => stoppedAtTheEnd(openSqliteWriter({ dataDir, signals })),
    reader: () => stoppedAtTheEnd(openSqliteReader({ dataDir })),
  };
}

async function stoppedAtTheEnd<Part extends StoreWriter | StoreReader>(opening: Promise<Part>): Promise<Part> {
  const part = await opening;
  onTestFinished(() => part.stop());
  return part;
}
