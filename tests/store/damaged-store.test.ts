import { statSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { openSqliteReader } from '../../agent/store/sqlite-reader.js';
import { StoreCheck } from '../../agent/store/store-check.js';
import { altered, filled, opening, refusal } from './a-store-file.js';
import { START_MS } from './samples.js';
import { overwrite, PAGE_BYTES, pagesOf, spoilPage } from './spoil.js';
import { dataFolder } from './store-twins.js';

const DAY_MS = 86_400_000;

/** The same with a hundred past days of a take-up. */
async function withPastDays(): Promise<{ readonly dataDir: string; readonly path: string }> {
  const { dataDir, path } = await filled();
  const store = await opening(dataDir);
  const days = Array.from({ length: 100 }, (_, i) => {
    const fromMs = START_MS + i * DAY_MS;
    return { date: new Date(fromMs).toISOString().slice(0, 10), fromMs, toMs: fromMs + DAY_MS, numbers: new Float64Array(200) };
  });
  const pastDays = [{ conveyor: 'enamel', takeup: 'tu1', anew: false, days }];
  await store.writeOutputs({ checkpoint: { seq: store.lastSeq, fingerprint: 'enamel', state: '{}', pastDays } });
  await store.stop();
  return { dataDir, path };
}

/** Opens the store and looks through it, as a start does. */
async function starting(dataDir: string): Promise<void> {
  const store = await opening(dataDir);
  const check = new StoreCheck(dataDir);
  try {
    await check.done;
  } finally {
    await check.stop();
    await store.stop();
  }
}

describe('a damaged file', () => {
  it.each([
    { damage: 'no database at all', spoil: (path: string) => writeFileSync(path, 'time,signal,value\n'.repeat(1000)) },
    { damage: 'a header written over', spoil: (path: string) => overwrite(path, 0, Buffer.alloc(64, 0x2a)) },
    { damage: 'cut off in the middle', spoil: (path: string) => truncateSync(path, Math.floor(statSync(path).size / 2)) },
    { damage: 'alarm events written over', spoil: (path: string) => spoilPage(path, 'alarm_event') },
    {
      damage: 'everything behind the header zeroed',
      spoil: (path: string) => overwrite(path, PAGE_BYTES, Buffer.alloc(statSync(path).size - PAGE_BYTES)),
    },
  ])('($damage) stops the start with its path and the remedy', async ({ spoil }) => {
    const { dataDir, path } = await filled();
    spoil(path);
    const fault = await refusal(starting(dataDir));
    expect(fault.code).toBe('store-damaged');
    expect(fault.message).toContain(path);
    expect(fault.message).toContain('put a good copy in its place');
    expect(fault.message).not.toContain('\n');
  });

  it('(none) is looked through to its end, and the look may be ended before', async () => {
    const { dataDir } = await filled();
    await starting(dataDir);
    const check = new StoreCheck(dataDir);
    await check.stop();
    await check.done;
    await check.stop();
  });

  it('(a past day written over) is told in the same words when the day is read', async () => {
    const { dataDir, path } = await withPastDays();
    for (const page of pagesOf(path, 'past_day').slice(1)) overwrite(path, (page - 1) * PAGE_BYTES, Buffer.alloc(PAGE_BYTES, 0xff));
    const store = await opening(dataDir);
    const read = (): unknown => store.pastDays('enamel', 'tu1').since(0);
    expect(read).toThrow(expect.objectContaining({ code: 'store-damaged', message: expect.stringContaining(path) as string }));
    await store.stop();
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
