import { ClassicLevel } from 'classic-level';
import { describe, expect, it, onTestFinished, vi } from 'vitest';
import { type KeyRange, WriteBehindDisk } from '../../broker/write-behind-disk.js';
import { temporaryFolder } from './temporary-folder.js';

const ALL: KeyRange = { gte: 'a', lt: 'z' };
const bytes = (text: string) => Buffer.from(text);

async function openedDatabase(folder = temporaryFolder()): Promise<ClassicLevel<string, Buffer>> {
  const database = new ClassicLevel<string, Buffer>(folder, { valueEncoding: 'buffer' });
  await database.open();
  onTestFinished(() => database.close());
  return database;
}

async function all(iterable: AsyncIterable<Buffer | string>): Promise<readonly string[]> {
  const found: string[] = [];
  for await (const one of iterable) found.push(one.toString());
  return found;
}

describe('the disk of the session store', () => {
  it('knows at once what it was told, in memory, on its way and on disk', async () => {
    const disk = new WriteBehindDisk(await openedDatabase(), () => undefined);
    await disk.put('b', bytes('1'));
    expect(await disk.get('b')).toEqual(bytes('1'));
    const flushing = disk.flush();
    expect(await disk.get('b')).toEqual(bytes('1'));
    await flushing;
    expect(await disk.get('b')).toEqual(bytes('1'));
    await disk.del('b');
    expect(await disk.get('b')).toBeUndefined();
    await disk.flush();
    expect(await disk.get('b')).toBeUndefined();
  });

  it('gives ranges in the order of keys, with all changes made before', async () => {
    const disk = new WriteBehindDisk(await openedDatabase(), () => undefined);
    await disk.batch([
      { type: 'put', key: 'd', value: bytes('4') },
      { type: 'put', key: 'b', value: bytes('2') },
      { type: 'put', key: 'c', value: bytes('3') },
    ]);
    await disk.batch().del('c').write();
    expect([await all(disk.values(ALL)), await all(disk.keys(ALL))]).toEqual([
      ['2', '4'],
      ['b', 'd'],
    ]);
    await disk.clear({ gte: 'b', lt: 'c' });
    expect(await all(disk.keys(ALL))).toEqual(['d']);
  });

  it('writes by itself a moment later, many changes of one key as one', async () => {
    const database = await openedDatabase();
    const batch = vi.spyOn(database, 'batch');
    const disk = new WriteBehindDisk(database, () => undefined);
    for (let count = 0; count < 100; count++) await disk.put('b', bytes(String(count)));
    await vi.waitFor(async () => expect(await database.get('b')).toEqual(bytes('99')));
    expect(batch).toHaveBeenCalledOnce();
  });

  it('has everything on disk when it is closed', async () => {
    const folder = temporaryFolder();
    const disk = new WriteBehindDisk(await openedDatabase(folder), () => undefined);
    await disk.put('b', bytes('1'));
    await disk.close();
    await disk.put('c', bytes('too late'));
    const again = await openedDatabase(folder);
    expect(await all(again.values())).toEqual(['1']);
  });

  it('keeps what could not be written, says so, and writes it with what came later', async () => {
    const database = await openedDatabase();
    const failures: unknown[] = [];
    const disk = new WriteBehindDisk(database, (error) => failures.push(error));
    const full = new Error('no space left on device');
    vi.spyOn(database, 'batch').mockRejectedValueOnce(full);
    await disk.put('b', bytes('1'));
    await disk.put('c', bytes('1'));
    expect(await all(disk.values(ALL))).toEqual([]);
    expect(failures).toEqual([full]);
    expect(await disk.get('b')).toEqual(bytes('1'));
    await disk.put('b', bytes('2'));
    expect(await all(disk.values(ALL))).toEqual(['2', '1']);
  });

  it('waits for a write under way before it gives a range', async () => {
    const disk = new WriteBehindDisk(await openedDatabase(), () => undefined);
    await disk.put('b', bytes('1'));
    const first = disk.flush();
    await disk.put('c', bytes('2'));
    expect(await all(disk.values(ALL))).toEqual(['1', '2']);
    await first;
  });

  it('takes what cannot be read for not there, and says so', async () => {
    const database = await openedDatabase();
    const failures: unknown[] = [];
    const disk = new WriteBehindDisk(database, (error) => failures.push(error));
    const bad = new Error('bad block');
    vi.spyOn(database, 'get').mockRejectedValueOnce(bad);
    vi.spyOn(database, 'values').mockImplementationOnce(() => {
      throw bad;
    });
    expect([await disk.get('b'), await all(disk.values(ALL))]).toEqual([undefined, []]);
    expect(failures).toEqual([bad, bad]);
  });

  it('answers after it was closed, with nothing', async () => {
    const failures: unknown[] = [];
    const disk = new WriteBehindDisk(await openedDatabase(), (error) => failures.push(error));
    await disk.put('b', bytes('1'));
    const reading = disk.values(ALL);
    await disk.close();
    expect([await disk.get('b'), await all(reading), await all(disk.keys(ALL))]).toEqual([undefined, [], []]);
    expect(failures).toEqual([]);
  });
});
