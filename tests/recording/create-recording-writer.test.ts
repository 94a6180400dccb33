import { access, readFile, readdir, symlink, writeFile, mkdir } from 'node:fs/promises';
import { dirname } from 'node:path';
import { gunzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { TakelineFault } from '../../agent/process/fault.js';
import { createRecordingWriter } from '../../agent/recording/create-recording-writer.js';
import { writeFault } from '../../agent/recording/recording-fault.js';
import { scratchFolder } from './scratch.js';

const FORMS = ['.csv', '.csv.gz', '.parquet'];
const SIX = 1_767_592_800_000;

const scratch = scratchFolder();

async function write(path: string, rows: readonly (readonly [number, string, number])[]): Promise<void> {
  const writer = await createRecordingWriter(path);
  for (const row of rows) await writer.write(...row);
  await writer.close();
}

async function faultOf(failing: Promise<unknown>): Promise<TakelineFault> {
  const fault: unknown = await failing.then(
    () => undefined,
    (error: unknown) => error,
  );
  if (!(fault instanceof TakelineFault)) throw new Error(`no fault but ${String(fault)}`);
  return fault;
}

async function stands(path: string): Promise<boolean> {
  return access(path).then(
    () => true,
    () => false,
  );
}

describe('a CSV recording that is written', () => {
  it('has a header, times in UTC with milliseconds where there are any, and values as they are', async () => {
    await write(scratch('a.csv'), [
      [SIX, 'enamel/running', 1],
      [SIX + 59_999, 'enamel/tu1/left/position', -0.125],
      [SIX + 60_000.4, 'odd "name", with comma', 1e21],
      [SIX - 1, 'enamel/running', NaN],
    ]);
    expect(await readFile(scratch('a.csv'), 'utf8')).toBe(
      'time,signal,value\n' +
        '2026-01-05T06:00:00Z,enamel/running,1\n' +
        '2026-01-05T06:00:59.999Z,enamel/tu1/left/position,-0.125\n' +
        '2026-01-05T06:01:00Z,"odd ""name"", with comma",1e+21\n' +
        '2026-01-05T05:59:59.999Z,enamel/running,NaN\n',
    );
  });

  it('is the same within gzip', async () => {
    await write(scratch('b.csv.gz'), [[SIX, 'enamel/running', 1]]);
    expect(gunzipSync(await readFile(scratch('b.csv.gz'))).toString()).toBe('time,signal,value\n2026-01-05T06:00:00Z,enamel/running,1\n');
  });
});

describe.each(FORMS)('a recording that is written as %s', (form) => {
  const rows = Array.from({ length: 20_000 }, (_, i) => [SIX + i * 10, `a/${i % 7}`, Math.sin(i)] as const);

  it('is the same file for the same rows, byte for byte', async () => {
    await write(scratch(`one${form}`), rows);
    await write(scratch(`two${form}`), rows);
    expect((await readFile(scratch(`one${form}`))).equals(await readFile(scratch(`two${form}`)))).toBe(true);
  });

  it('has its name only when it is whole, and leaves nothing else behind', async () => {
    const folder = scratch(`whole${form}-folder`);
    await mkdir(folder);
    const path = `${folder}/recording${form}`;
    const writer = await createRecordingWriter(path);
    for (const row of rows) await writer.write(...row);
    expect(await stands(path)).toBe(false);
    await writer.close();
    expect(await readdir(folder)).toEqual([`recording${form}`]);
    await writer.close();
    await writer.discard();
    expect(await readdir(folder)).toEqual([`recording${form}`]);
  });

  it('leaves what stood there as it was when it is given up', async () => {
    const folder = scratch(`given-up${form}-folder`);
    await mkdir(folder);
    const path = `${folder}/recording${form}`;
    await writeFile(path, 'what stood there');
    const writer = await createRecordingWriter(path);
    for (const row of rows) await writer.write(...row);
    await writer.discard();
    await writer.discard();
    expect(await readdir(folder)).toEqual([`recording${form}`]);
    expect(await readFile(path, 'utf8')).toBe('what stood there');
  });

  it('is refused at once where there is no such folder', async () => {
    const path = scratch(`nowhere/recording${form}`);
    const fault = await faultOf(createRecordingWriter(path));
    expect(fault.code).toBe('recording-not-written');
    expect(fault.message.startsWith(`${path}: `)).toBe(true);
    expect(await stands(dirname(path))).toBe(false);
  });

  it('is refused in words when the disk is full, and nothing is left of it', async () => {
    const folder = scratch(`full${form}-folder`);
    await mkdir(folder);
    const path = `${folder}/recording${form}`;
    // A device that has no room for a single byte stands in for the part file.
    await symlink('/dev/full', `${path}.part`);
    const fault = await faultOf(write(path, rows));
    expect(fault.code).toBe('recording-disk-full');
    expect(fault.message).toBe(`${path}: the disk is full and nothing was kept; make room or choose another place with --out`);
    expect(await stands(path)).toBe(false);
  });
});

describe('a failure to write', () => {
  const failed = (error: unknown) => writeFault('out.csv', error);
  const withCode = (code: string) => Object.assign(new Error(`${code}: what the system says`), { code });

  it('is told as what a person can do about it', () => {
    expect(failed(withCode('ENOSPC'))).toMatchObject({ code: 'recording-disk-full' });
    expect(failed(withCode('EDQUOT'))).toMatchObject({ code: 'recording-disk-full' });
    expect(failed(withCode('EACCES'))).toMatchObject({
      code: 'recording-not-written',
      message: expect.stringContaining('this user may not') as string,
    });
    expect(failed(new Error('IO Error: Could not write file "x": No space left on device'))).toMatchObject({ code: 'recording-disk-full' });
    expect(failed(new Error('IO Error: Could not sync file'))).toMatchObject({ code: 'recording-not-written' });
  });

  it('passes as it is where our own code is at fault', () => {
    const own = new TypeError('x is not a function');
    expect(failed(own)).toBe(own);
    const misuse = withCode('ERR_INVALID_ARG_TYPE');
    expect(failed(misuse)).toBe(misuse);
  });
});
