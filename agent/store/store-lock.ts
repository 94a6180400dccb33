import { hostname } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { asStoreFault, storeFault } from './store-fault.js';

/** The file beside the store whose lock says that an agent is at work. */
const LOCK_FILE = 'takeline.lock';

/** An agent that is just ending is waited for so long. */
const PATIENCE_MS = 500;

interface Holder {
  readonly pid: number;
  readonly host: string;
}

/**
 * The right to write to a data folder. It rests on a lock that the operating system takes back when the process ends, however it ends:
 * a number in a file would be mistaken for a living process after a restart, above all in a container, where numbers repeat.
 * SQLite is asked for the lock because it knows how on every system, and lets others read meanwhile who holds it.
 */
export class StoreLock {
  private constructor(private readonly db: Database.Database) {}

  /** @throws TakelineFault where another process, or another agent of this one, holds the folder, or its lock file cannot be written */
  static take(dataDir: string): StoreLock {
    const path = join(dataDir, LOCK_FILE);
    let db: Database.Database | undefined;
    try {
      db = new Database(path, { timeout: PATIENCE_MS });
      db.exec('BEGIN IMMEDIATE; CREATE TABLE IF NOT EXISTS holder (pid INTEGER, host TEXT); DELETE FROM holder');
      db.prepare('INSERT INTO holder VALUES (?, ?)').run(process.pid, hostname());
      // Committed, so that others can read it; whoever gets in between has the folder, and this one is refused.
      db.exec('COMMIT; BEGIN IMMEDIATE');
      return new StoreLock(db);
    } catch (error) {
      const busy = error instanceof Database.SqliteError && error.code.startsWith('SQLITE_BUSY');
      const fault = busy && db ? storeFault('store-in-use', dataDir, holderOf(db)) : asStoreFault(path, 'write', error);
      db?.close();
      throw fault;
    }
  }

  /** Gives the right back; a second time does nothing. */
  release(): void {
    this.db.close();
  }
}

function holderOf(db: Database.Database): string {
  try {
    const holder = db.prepare<[], Holder>('SELECT pid, host FROM holder').get();
    return holder ? `another agent (process ${holder.pid} on ${holder.host})` : 'another agent';
  } catch {
    // It is changing hands this very moment.
    return 'another agent';
  }
}
