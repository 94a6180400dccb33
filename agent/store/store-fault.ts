import { TakelineFault } from '../process/fault.js';

/** Every way in which the store can fail that a person can do something about. */
export type StoreFaultCode =
  | 'store-folder'
  | 'store-unwritable'
  | 'store-missing'
  | 'store-unreadable'
  | 'store-in-use'
  | 'store-busy'
  | 'store-newer'
  | 'store-older'
  | 'store-foreign'
  | 'store-not-local'
  | 'store-damaged'
  | 'store-disk-full'
  | 'store-disk-failing';

const SENTENCES: Readonly<Record<StoreFaultCode, (path: string, detail: string) => string>> = {
  'store-folder': (path, detail) => `${path}: the data folder cannot be made (${detail}); check the name, or choose another with --data`,
  'store-unwritable': (path, detail) =>
    `${path}: the store cannot be written (${detail}); give the agent's user the right to write to the folder and all its files, or choose another with --data`,
  'store-missing': (path) => `${path}: there is no store yet; start the agent first, or check --data`,
  'store-unreadable': (path, detail) =>
    `${path}: the store cannot be read (${detail}); the reader's user needs the right to read the file and to write to its folder, or a running agent`,
  'store-in-use': (path, detail) => `${path}: ${detail} uses this data folder; stop it, or give this agent another folder with --data`,
  'store-busy': (path) => `${path}: another program is writing to the store; close it and try again`,
  'store-newer': (path, detail) =>
    `${path}: the store was written by a newer Takeline (${detail}); start that version, or restore a copy made before the update`,
  'store-older': (path, detail) =>
    `${path}: the store is that of an older Takeline (${detail}); start the agent of this version first, it brings the store up to date`,
  'store-foreign': (path) => `${path}: this is a database of another program and is left alone; choose another folder with --data`,
  'store-not-local': (path) =>
    `${path}: this disk cannot hold the store (no shared memory, as on a network drive); choose a folder on a local disk with --data`,
  'store-damaged': (path, detail) =>
    `${path}: the file is damaged (${detail}); stop the agent and put a good copy in its place, or move it aside with its -wal and -shm files to begin anew`,
  'store-disk-full': (path) =>
    `${path}: the disk is full, or the store has reached its largest size; make room. Nothing that was acknowledged is lost`,
  'store-disk-failing': (path, detail) =>
    `${path}: the disk does not do as told (${detail}); make sure that it is not full and is sound, then start again`,
};

/** The fault for a store at `path`, as one line that says what to do. */
export function storeFault(code: StoreFaultCode, path: string, detail = ''): TakelineFault {
  return new TakelineFault(code, SENTENCES[code](path, detail.replaceAll(/\s+/g, ' ').trim()));
}

/** Result codes of SQLite (its page "Result and Error Codes") by primary code, extended ones begin with it; and those of the system. */
const BY_CODE: readonly (readonly [prefix: string, writing: StoreFaultCode, reading: StoreFaultCode])[] = [
  ['SQLITE_FULL', 'store-disk-full', 'store-disk-full'],
  ['SQLITE_IOERR', 'store-disk-failing', 'store-disk-failing'],
  ['SQLITE_CORRUPT', 'store-damaged', 'store-damaged'],
  ['SQLITE_NOTADB', 'store-damaged', 'store-damaged'],
  ['SQLITE_BUSY', 'store-busy', 'store-busy'],
  ['SQLITE_READONLY', 'store-unwritable', 'store-unreadable'],
  ['SQLITE_CANTOPEN', 'store-unwritable', 'store-unreadable'],
  ['SQLITE_PERM', 'store-unwritable', 'store-unreadable'],
  ['EACCES', 'store-unwritable', 'store-unreadable'],
  ['EPERM', 'store-unwritable', 'store-unreadable'],
  ['EIO', 'store-disk-failing', 'store-disk-failing'],
];

/**
 * What working on the store at `path` failed with: a failure of the world as a fault, whatever else (a fault already, an error of our
 * own code) as it is.
 */
export function asStoreFault(path: string, does: 'write' | 'read', error: unknown): Error {
  if (!(error instanceof Error)) return new Error(String(error));
  // What was written as JSON and no longer is has been altered on the disk.
  if (error instanceof SyntaxError) return storeFault('store-damaged', path, error.message);
  if (error instanceof TakelineFault || !('code' in error) || typeof error.code !== 'string') return error;
  const { code } = error;
  const known = BY_CODE.find(([prefix]) => code === prefix || code.startsWith(`${prefix}_`));
  return known ? storeFault(known[does === 'write' ? 1 : 2], path, `${code}: ${error.message}`) : error;
}
