import { constants, copyFileSync, existsSync, fsyncSync, openSync, closeSync, renameSync, rmSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import Database from 'better-sqlite3';
import { TakelineFault } from '../process/fault.js';
import type { Migration } from './migrate.js';
import { MIGRATIONS } from './schema.js';
import { makeDataFolder, openForReading, refuseStrange, STORE_FILE } from './sqlite-file.js';
import { asStoreFault, storeFault } from './store-fault.js';
import { StoreLock } from './store-lock.js';

/**
 * Copies the store of a data folder into one file, beside a running agent: the copy is of one moment, and has no spare room in it.
 *
 * @returns its bytes
 * @throws TakelineFault where the store cannot be read, or the file exists or cannot be written. Then nothing is left
 */
export function backupStore(dataDir: string, out: string, migrations: readonly Migration[] = MIGRATIONS): number {
  if (existsSync(out)) throw new TakelineFault('backup-exists', `${out} exists and is left alone: choose another name`);
  const part = `${out}.part`;
  rmIfThere(part);
  const file = openForReading(dataDir, migrations);
  try {
    // A copy page by page would begin anew with every reading that is journalled meanwhile; this one sees the store as it is now.
    file.db.prepare('VACUUM INTO ?').run(part);
    refuseDamaged(part, migrations);
    intoPlace(part, out);
    return statSync(out).size;
  } catch (error) {
    rmIfThere(part);
    throw asStoreFault(out, 'write', error);
  } finally {
    file.close();
  }
}

/**
 * Puts a backup into a data folder that has no store yet.
 *
 * @throws TakelineFault where the folder has a store, or the file is none, is damaged or of a newer version. Then the folder is as it was
 */
export function restoreStore(from: string, dataDir: string, migrations: readonly Migration[] = MIGRATIONS): void {
  if (!existsSync(from)) throw new TakelineFault('backup-missing', `${from}: there is no such file`);
  const path = join(dataDir, STORE_FILE);
  makeDataFolder(dataDir);
  const lock = StoreLock.take(dataDir);
  const part = `${path}.part`;
  try {
    if (['', '-wal', '-shm'].some((tail) => existsSync(path + tail)))
      throw new TakelineFault(
        'store-exists',
        `${path} exists and is left alone: move it aside with its -wal and -shm files, or choose another folder with --data`,
      );
    copyFileSync(from, part, constants.COPYFILE_FICLONE);
    refuseDamaged(part, migrations, from);
    intoPlace(part, path);
  } catch (error) {
    rmIfThere(part);
    throw asStoreFault(path, 'write', error);
  } finally {
    lock.release();
  }
}

/** Looks the whole copy through: what is damaged is found now, and not on the day on which it is needed. @param named - whose fault it is */
function refuseDamaged(path: string, migrations: readonly Migration[], named = path): void {
  let db: Database.Database | undefined;
  try {
    db = new Database(path, { readonly: true, fileMustExist: true });
    refuseStrange(db, named, migrations);
    const found = db.pragma('integrity_check(1)', { simple: true });
    if (found !== 'ok') throw storeFault('store-damaged', named, String(found));
  } catch (error) {
    throw asStoreFault(named, 'read', error);
  } finally {
    db?.close();
  }
}

function intoPlace(part: string, path: string): void {
  sync(part);
  renameSync(part, path);
  // The new name is durable once its folder is; Windows cannot open a folder and does not need to.
  if (process.platform !== 'win32') sync(dirname(path));
}

function sync(path: string): void {
  const file = openSync(path, 'r');
  try {
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
}

function rmIfThere(path: string): void {
  for (const tail of ['', '-wal', '-shm', '-journal']) rmSync(path + tail, { force: true });
}
