import { mkdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { freeBytesAt } from '../process/disk-room.js';
import { latestVersion, migrate, type Migration, schemaVersion } from './migrate.js';
import { asStoreFault, storeFault } from './store-fault.js';

/** The store's file in the data folder; SQLite keeps `-wal` and `-shm` beside it while it is open. */
export const STORE_FILE = 'takeline.sqlite';

/** "Tkln" in the header of the file tells a store from other databases (SQLite, `PRAGMA application_id`). */
const APPLICATION_ID = 0x546b6c6e;
/** Somebody may look at the file with a shell: that is waited for so long. */
const BUSY_MS = 5000;
/** A burst may make the log long; afterwards it is cut back to this. */
const WAL_BYTES = 64 * 1024 * 1024;

/** An open store file. Every access goes through `attempt` or `readNow`, so that SQLite's failures come out as faults with path and remedy. */
export class SqliteFile {
  constructor(
    readonly db: Database.Database,
    readonly path: string,
    private readonly does: 'write' | 'read',
  ) {}

  /** Does the work at once; what it fails with becomes a rejection. */
  attempt<T>(work: () => T): Promise<T> {
    try {
      return Promise.resolve(work());
    } catch (error) {
      return Promise.reject(asStoreFault(this.path, this.does, error));
    }
  }

  /** Reads at once, for whoever cannot wait for a promise. @throws TakelineFault */
  readNow<T>(read: () => T): T {
    try {
      return read();
    } catch (error) {
      throw asStoreFault(this.path, 'read', error);
    }
  }

  /** Bytes of the file and of what SQLite keeps beside it. */
  bytes(): number {
    return ['', '-wal', '-shm'].reduce((sum, tail) => sum + (statSync(this.path + tail, { throwIfNoEntry: false })?.size ?? 0), 0);
  }

  /** Bytes that this user may still fill on the disk that the file lies on; null where the system does not say. */
  freeBytes(): number | null {
    const free = freeBytesAt(this.path);
    return free === Infinity ? null : free;
  }

  close(): void {
    this.db.close();
  }
}

/** Makes the data folder where it is missing. @throws TakelineFault */
export function makeDataFolder(dataDir: string): void {
  try {
    mkdirSync(dataDir, { recursive: true });
  } catch (error) {
    throw storeFault('store-folder', dataDir, error instanceof Error ? error.message : String(error));
  }
}

/**
 * Opens the store for its writer: made where it is missing, brought up to date where it is old.
 *
 * @param maxBytes - the file does not grow past this; absent: as far as the disk goes
 * @throws TakelineFault
 */
export function openForWriting(dataDir: string, steps: readonly Migration[], maxBytes?: number): SqliteFile {
  const path = join(dataDir, STORE_FILE);
  return opened(path, 'write', { timeout: BUSY_MS }, (db) => {
    if (isNew(db)) db.pragma(`application_id = ${APPLICATION_ID}`);
    else refuseStrange(db, path, steps);
    if (db.pragma('journal_mode = WAL', { simple: true }) !== 'wal') throw storeFault('store-not-local', path);
    // NORMAL, the usual choice with a log, would lose the last commits with the power: what is acknowledged must stay.
    db.pragma('synchronous = FULL');
    db.pragma(`journal_size_limit = ${WAL_BYTES}`);
    if (maxBytes !== undefined) db.pragma(`max_page_count = ${Math.max(1, Math.floor(maxBytes / pageBytes(db)))}`);
    migrate(db, steps);
  });
}

/** Opens the store for a reader, in whatever process. @throws TakelineFault */
export function openForReading(dataDir: string, steps: readonly Migration[]): SqliteFile {
  const path = join(dataDir, STORE_FILE);
  if (!isThere(path)) throw storeFault('store-missing', path);
  return opened(path, 'read', { timeout: BUSY_MS, readonly: true }, (db) => {
    // The file is there before its first table is.
    if (isNew(db)) throw storeFault('store-missing', path);
    refuseStrange(db, path, steps);
    const version = schemaVersion(db);
    if (version < latestVersion(steps)) throw storeFault('store-older', path, versions(version, steps));
  });
}

function opened(path: string, does: 'write' | 'read', options: Database.Options, prepare: (db: Database.Database) => void): SqliteFile {
  let db: Database.Database | undefined;
  try {
    db = new Database(path, options);
    prepare(db);
    return new SqliteFile(db, path, does);
  } catch (error) {
    db?.close();
    throw asStoreFault(path, does, error);
  }
}

/** Asked first, since SQLite would say of a missing file only that it cannot be opened. */
function isThere(path: string): boolean {
  try {
    return statSync(path, { throwIfNoEntry: false }) !== undefined;
  } catch (error) {
    throw asStoreFault(path, 'read', error);
  }
}

function isNew(db: Database.Database): boolean {
  return schemaVersion(db) === 0 && db.prepare('SELECT 1 FROM sqlite_schema').get() === undefined;
}

/** @throws TakelineFault where a file is no store, or one of a newer version */
export function refuseStrange(db: Database.Database, path: string, steps: readonly Migration[]): void {
  if (db.pragma('application_id', { simple: true }) !== APPLICATION_ID) throw storeFault('store-foreign', path);
  const version = schemaVersion(db);
  if (version > latestVersion(steps)) throw storeFault('store-newer', path, versions(version, steps));
}

function versions(found: number, steps: readonly Migration[]): string {
  return `its schema is version ${found}, this one knows ${latestVersion(steps)}`;
}

function pageBytes(db: Database.Database): number {
  return Number(db.pragma('page_size', { simple: true }));
}
