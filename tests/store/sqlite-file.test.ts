import { chmodSync, existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { MIGRATIONS } from '../../agent/store/schema.js';
import { openForWriting, STORE_FILE } from '../../agent/store/sqlite-file.js';
import { openSqliteReader } from '../../agent/store/sqlite-reader.js';
import { openSqliteWriter } from '../../agent/store/sqlite-writer.js';
import { altered, filled, opening, refusal, SIGNALS } from './a-store-file.js';
import { readings, START_MS } from './samples.js';
import { dataFolder } from './store-twins.js';

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
