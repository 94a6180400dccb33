import { chmodSync, existsSync, openSync, closeSync, readFileSync, statSync, truncateSync, writeFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import type { TakelineFault } from '../../agent/process/fault.js';
import { MIGRATIONS } from '../../agent/store/schema.js';
import { openForWriting, STORE_FILE } from '../../agent/store/sqlite-file.js';
import { openSqliteReader } from '../../agent/store/sqlite-reader.js';
import { openSqliteWriter } from '../../agent/store/sqlite-writer.js';
import type { StoreWriter } from '../../agent/store/store.js';
import { event, readings, service, START_MS } from './samples.js';
import { dataFolder } from './store-twins.js';

const SIGNALS = ['enamel/running'];
const PAGE_BYTES = 4096;

function opening(dataDir: string): Promise<StoreWriter> {
  return openSqliteWriter({ dataDir, signals: SIGNALS });
}

/** The fault that something is refused with. */
async function refusal(refused: Promise<unknown>): Promise<TakelineFault> {
  return refused.then(
    () => Promise.reject(new Error('it was not refused')),
    (fault: unknown) => fault as TakelineFault,
  );
}

/** A data folder with a store that holds readings, an entry and events, stopped. */
async function filled(): Promise<{ readonly dataDir: string; readonly path: string }> {
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

function overwrite(path: string, at: number, bytes: Buffer): void {
  const file = openSync(path, 'r+');
  writeSync(file, bytes, 0, bytes.length, at);
  closeSync(file);
}

/** Pages of a table, in no order. */
function pagesOf(path: string, table: string): readonly number[] {
  const db = new Database(path, { readonly: true });
  const pages = db.prepare<[string], number>('SELECT pageno FROM dbstat WHERE name = ?').pluck().all(table);
  db.close();
  return pages;
}

function altered(path: string, change: (db: Database.Database) => void): void {
  const db = new Database(path);
  change(db);
  db.close();
}

/** The rights of a folder bind everybody but the superuser: work as nobody while that is who runs the test. */
async function withoutPrivilege<T>(work: () => Promise<T>): Promise<T> {
  const superuser = process.geteuid?.() === 0;
  if (superuser) process.seteuid?.(65_534);
  try {
    return await work();
  } finally {
    if (superuser) process.seteuid?.(0);
  }
}

describe('opening the store', () => {
  it('makes the folder and the file where they are missing', async () => {
    const dataDir = join(dataFolder(), 'deep', 'inside');
    const store = await opening(dataDir);
    expect(existsSync(join(dataDir, STORE_FILE))).toBe(true);
    await store.stop();
  });

  it('waits for the disk at every commit, so that what is acknowledged outlives a power cut', () => {
    const file = openForWriting(dataFolder(), MIGRATIONS);
    expect(file.db.pragma('synchronous', { simple: true })).toBe(2);
    expect(file.db.pragma('journal_mode', { simple: true })).toBe('wal');
    file.close();
  });

  it('is stopped twice without harm, and can be opened again', async () => {
    const dataDir = dataFolder();
    const store = await opening(dataDir);
    await store.stop();
    await store.stop();
    const again = await opening(dataDir);
    const reader = await openSqliteReader({ dataDir });
    await reader.stop();
    await reader.stop();
    await again.stop();
    expect(again.lastSeq).toBe(0);
  });

  it('refuses a data folder that another agent has, and says which', async () => {
    const dataDir = dataFolder();
    const first = await opening(dataDir);
    const fault = await refusal(opening(dataDir));
    expect(fault.code).toBe('store-in-use');
    expect(fault.message).toContain(`${dataDir}: another agent (process ${process.pid} on `);
    await first.stop();
    const second = await opening(dataDir);
    await second.stop();
  });

  it('refuses a store of a newer version and leaves it as it is', async () => {
    const { dataDir, path } = await filled();
    altered(path, (db) => db.pragma('user_version = 99'));
    const before = readFileSync(path);
    for (const fault of [await refusal(opening(dataDir)), await refusal(openSqliteReader({ dataDir }))]) {
      expect(fault.code).toBe('store-newer');
      expect(fault.message).toContain(path);
      expect(fault.message).toContain('its schema is version 99');
    }
    expect(readFileSync(path).equals(before)).toBe(true);
  });

  it("leaves another program's database alone", async () => {
    const dataDir = dataFolder();
    altered(join(dataDir, STORE_FILE), (db) => db.exec('CREATE TABLE stock (id INTEGER)'));
    const before = readFileSync(join(dataDir, STORE_FILE));
    expect((await refusal(opening(dataDir))).code).toBe('store-foreign');
    expect(readFileSync(join(dataDir, STORE_FILE)).equals(before)).toBe(true);
  });

  it('lets go of the folder when it refuses', async () => {
    const { dataDir, path } = await filled();
    altered(path, (db) => db.pragma('user_version = 99'));
    await refusal(opening(dataDir));
    altered(path, (db) => db.pragma(`user_version = ${MIGRATIONS.length}`));
    const store = await opening(dataDir);
    expect(store.lastSeq).toBe(20_001);
    await store.stop();
  });
});

describe('a damaged file', () => {
  it.each([
    { damage: 'no database at all', spoil: (path: string) => writeFileSync(path, 'time,signal,value\n'.repeat(1000)) },
    { damage: 'a header written over', spoil: (path: string) => overwrite(path, 0, Buffer.alloc(64, 0x2a)) },
    { damage: 'cut off in the middle', spoil: (path: string) => truncateSync(path, Math.floor(statSync(path).size / 2)) },
    {
      damage: 'alarm events written over',
      spoil: (path: string) => overwrite(path, (pagesOf(path, 'alarm_event')[1]! - 1) * PAGE_BYTES, Buffer.alloc(512, 0xff)),
    },
    {
      damage: 'everything behind the header zeroed',
      spoil: (path: string) => overwrite(path, PAGE_BYTES, Buffer.alloc(statSync(path).size - PAGE_BYTES)),
    },
  ])('($damage) stops the start with its path and the remedy', async ({ spoil }) => {
    const { dataDir, path } = await filled();
    spoil(path);
    const fault = await refusal(opening(dataDir));
    expect(fault.code).toBe('store-damaged');
    expect(fault.message).toContain(path);
    expect(fault.message).toContain('put a good copy in its place');
    expect(fault.message).not.toContain('\n');
  });

  it('(readings written over) is found when recovery comes to them', async () => {
    const { dataDir, path } = await filled();
    for (const page of pagesOf(path, 'reading').slice(3, 5)) overwrite(path, (page - 1) * PAGE_BYTES, Buffer.alloc(PAGE_BYTES, 0xff));
    const store = await opening(dataDir);
    const recovery = async (): Promise<void> => {
      for await (const item of store.readJournal(0)) expect(item.seq).toBeGreaterThan(0);
    };
    expect((await refusal(recovery())).code).toBe('store-damaged');
    await store.stop();
  });

  it('(an entry that is no JSON any more) is found when the log is read', async () => {
    const { dataDir, path } = await filled();
    altered(path, (db) => db.exec("DROP TRIGGER service_entry_unchanged; UPDATE service_entry SET body = '{'"));
    const reader = await openSqliteReader({ dataDir });
    const fault = await refusal(reader.entries());
    expect(fault.code).toBe('store-damaged');
    expect(fault.message).toContain(path);
    await reader.stop();
  });

  it('(the lock file) is named itself', async () => {
    const dataDir = dataFolder();
    writeFileSync(join(dataDir, 'takeline.lock'), 'no lock of ours\n'.repeat(100));
    const fault = await refusal(opening(dataDir));
    expect(fault.code).toBe('store-damaged');
    expect(fault.message).toContain('takeline.lock');
  });
});

describe('a folder that cannot be used', () => {
  it('(it would lie in a file) is refused', async () => {
    const file = join(dataFolder(), 'site.yaml');
    writeFileSync(file, '');
    const fault = await refusal(opening(join(file, 'data')));
    expect(fault.code).toBe('store-folder');
    expect(fault.message).toContain('choose another with --data');
  });

  it('(it may only be read) is refused', async () => {
    const { dataDir } = await filled();
    chmodSync(join(dataDir, STORE_FILE), 0o444);
    chmodSync(join(dataDir, 'takeline.lock'), 0o444);
    chmodSync(dataDir, 0o555);
    const fault = await withoutPrivilege(() => refusal(opening(dataDir)));
    chmodSync(dataDir, 0o755);
    expect(fault.code).toBe('store-unwritable');
    expect(fault.message).toContain(dataDir);
  });

  it.each([
    { closed: 'the file', modes: [0o755, 0o000] },
    { closed: 'the folder', modes: [0o000, 0o644] },
  ] as const)('($closed may not be looked into) cannot be read from', async ({ modes }) => {
    const { dataDir, path } = await filled();
    chmodSync(path, modes[1]);
    chmodSync(dataDir, modes[0]);
    const fault = await withoutPrivilege(() => refusal(openSqliteReader({ dataDir })));
    chmodSync(dataDir, 0o755);
    expect(fault.code).toBe('store-unreadable');
  });
});

describe('a reader', () => {
  it('says that there is no store yet where the agent has not made one', async () => {
    const dataDir = dataFolder();
    expect((await refusal(openSqliteReader({ dataDir }))).code).toBe('store-missing');
    writeFileSync(join(dataDir, STORE_FILE), '');
    expect((await refusal(openSqliteReader({ dataDir }))).code).toBe('store-missing');
  });

  it('waits for the agent to bring an older store up to date', async () => {
    const dataDir = dataFolder();
    const writer = await opening(dataDir);
    await writer.stop();
    const newer = [...MIGRATIONS, { version: MIGRATIONS.length + 1, what: 'a table', sql: 'CREATE TABLE page (id INTEGER)' }];
    expect((await refusal(openSqliteReader({ dataDir, migrations: newer }))).code).toBe('store-older');
    await (await openSqliteWriter({ dataDir, signals: SIGNALS, migrations: newer })).stop();
    await (await openSqliteReader({ dataDir, migrations: newer })).stop();
  });
});

describe('a full disk', () => {
  it('refuses a batch as a whole, loses nothing of what was acknowledged, and goes on when there is room', async () => {
    const dataDir = dataFolder();
    const store = await openSqliteWriter({ dataDir, signals: SIGNALS, maxBytes: 1024 * 1024 });
    const batch = readings(...Array.from({ length: 1000 }, (_, at) => [0, START_MS + at, at] as const));
    let acknowledged = 0;
    const filling = async (): Promise<never> => {
      for (;;) acknowledged = await store.appendReadings(batch);
    };
    const fault = await refusal(filling());
    expect(fault.code).toBe('store-disk-full');
    expect(fault.message).toContain(join(dataDir, STORE_FILE));
    expect(acknowledged).toBeGreaterThan(10_000);
    expect(store.lastSeq).toBe(acknowledged);

    let kept = 0;
    for await (const item of store.readJournal(0)) kept = item.seq;
    expect(kept).toBe(acknowledged);

    await store.writeOutputs({ checkpoint: { seq: acknowledged, fingerprint: 'site', state: '{}' } });
    expect(await store.trimReadings(START_MS + 2000)).toBeGreaterThan(0);
    expect(await store.appendReadings(batch)).toBe(acknowledged + 1000);
    await store.stop();
  });
});
