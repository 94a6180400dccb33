import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it, onTestFinished } from 'vitest';
import { latestVersion, migrate, type Migration, schemaVersion } from '../../agent/store/migrate.js';
import { MIGRATIONS } from '../../agent/store/schema.js';
import { openSqliteReader } from '../../agent/store/sqlite-reader.js';
import { STORE_FILE } from '../../agent/store/sqlite-file.js';
import { openSqliteWriter } from '../../agent/store/sqlite-writer.js';
import { day, entry, event, finding, HOUR_MS, minute, START_MS } from './samples.js';
import { dataFolder } from './store-twins.js';

const STEPS: readonly Migration[] = [
  { version: 1, what: 'a table', sql: 'CREATE TABLE page (id INTEGER PRIMARY KEY)' },
  { version: 2, what: 'a column', sql: 'ALTER TABLE page ADD COLUMN sent_ms INTEGER' },
  { version: 3, what: 'an index and a first row', sql: 'CREATE INDEX page_sent ON page (sent_ms); INSERT INTO page VALUES (1, 2)' },
];

function memory(): Database.Database {
  const db = new Database(':memory:');
  onTestFinished(() => {
    db.close();
  });
  return db;
}

function schemaOf(db: Database.Database): unknown {
  return db.prepare("SELECT type, name, tbl_name FROM sqlite_schema WHERE name NOT LIKE 'sqlite_%' ORDER BY name").all();
}

describe('migrating', () => {
  it.each([0, 1, 2, 3])('brings a store of version %i to the latest, the same as a new one', (version) => {
    const [old, fresh] = [memory(), memory()];
    migrate(old, STEPS.slice(0, version));
    migrate(old, STEPS);
    migrate(fresh, STEPS);
    expect(schemaVersion(old)).toBe(3);
    expect(schemaOf(old)).toEqual(schemaOf(fresh));
    expect(old.prepare('SELECT * FROM page').all()).toEqual([{ id: 1, sent_ms: 2 }]);
  });

  it('leaves the store at the version before a step that fails', () => {
    const db = memory();
    const broken = { version: 3, what: 'half of it works', sql: 'INSERT INTO page VALUES (7, 7); INSERT INTO nothing VALUES (1)' };
    expect(() => migrate(db, [...STEPS.slice(0, 2), broken])).toThrow('nothing');
    expect(schemaVersion(db)).toBe(2);
    expect(db.prepare('SELECT * FROM page').all()).toEqual([]);
    migrate(db, STEPS);
    expect(schemaVersion(db)).toBe(3);
  });

  it('refuses steps out of order before it touches anything', () => {
    const db = memory();
    expect(() => migrate(db, [STEPS[0]!, STEPS[2]!])).toThrow('migration 3 stands at place 2');
    expect(schemaVersion(db)).toBe(0);
  });
});

/** A store of every released version, as SQL, each holding the samples; a new version of the schema brings one more. */
const RELEASED = MIGRATIONS.map(({ version }) => ({
  version,
  sql: readFileSync(join(import.meta.dirname, `schema-${version}.sql`), 'utf8'),
}));

describe.each(RELEASED)('a store written at version $version', ({ sql }) => {
  it('is brought up to date with all that it holds', async () => {
    const dataDir = dataFolder();
    const db = new Database(join(dataDir, STORE_FILE));
    db.exec(sql);
    db.close();

    const writer = await openSqliteWriter({ dataDir, signals: ['enamel/running'] });
    const reader = await openSqliteReader({ dataDir });
    expect(tablesOf(dataDir)).toEqual(tablesOf());
    expect(writer.lastSeq).toBe(3);
    expect(await writer.loadCheckpoint()).toEqual({ seq: 2, fingerprint: 'site-a', state: '{"version":1}' });
    const kinds: string[] = [];
    for await (const { kind } of writer.readJournal(0)) kinds.push(kind);
    expect(kinds).toEqual(['readings', 'service', 'operator']);
    expect((await reader.alarmEvents({ limit: 5 })).events).toEqual([event()]);
    expect(await reader.settledDays('enamel', 'tu1', '2026-03-01', '2026-03-31')).toEqual([day()]);
    expect(await reader.findings({})).toEqual([finding()]);
    expect(await reader.entries()).toEqual([{ ...entry(), takenMs: START_MS + HOUR_MS }]);
    expect(await reader.siteVersion(1)).toEqual({ timeMs: START_MS, by: 'engineer', text: 'site: {}' });
    for (const maxPoints of [2, 100]) {
      const { points } = await reader.minutes({ conveyor: 'enamel', takeup: 'tu1', fromMs: START_MS, toMs: START_MS + HOUR_MS, maxPoints });
      expect(points).toMatchObject([{ count: minute().count, minMm: minute().minMm }]);
    }
    await reader.stop();
    await writer.stop();
  });
});

/** Tables, indexes and columns of a store; without a folder, of one made new. */
function tablesOf(dataDir?: string): unknown {
  const db = dataDir === undefined ? new Database(':memory:') : new Database(join(dataDir, STORE_FILE), { readonly: true });
  if (dataDir === undefined) migrate(db, MIGRATIONS);
  const columns = 'SELECT m.name AS name, c.name AS "column", c.type, c.pk FROM sqlite_schema m, pragma_table_info(m.name) c ORDER BY 1, 2';
  const found = { schema: schemaOf(db), columns: db.prepare(columns).all() };
  db.close();
  return found;
}

describe('the schema', () => {
  it('says of each version what it brought', () => {
    expect(latestVersion(MIGRATIONS)).toBe(MIGRATIONS.length);
    for (const { what } of MIGRATIONS) expect(what).not.toBe('');
  });
});
