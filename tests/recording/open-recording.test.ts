import { mkdir, readdir, readFile, writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { openRecording } from '../../agent/recording/open-recording.js';
import { TakelineFault } from '../../agent/process/fault.js';
import { readAll } from './read-all.js';
import { scratchFolder } from './scratch.js';

const FIXTURES = fileURLToPath(new URL('../../fixtures/recordings/', import.meta.url));
const KNOWN = ['enamel/tu1/left/position', 'enamel/tu1/right/position', 'enamel/running'];

const accepted = await readdir(`${FIXTURES}accepted`);
const scratch = scratchFolder();

async function faultOf(path: string): Promise<TakelineFault> {
  const fault: unknown = await readAll(path, KNOWN).then(
    () => undefined,
    (error: unknown) => error,
  );
  if (!(fault instanceof TakelineFault)) throw new Error(`${path} was not refused by a fault but gave ${String(fault)}`);
  return fault;
}

describe('a recording in any form that is accepted', () => {
  it.each(accepted)('%s has the six readings of plain.csv', async (name) => {
    const { taken, rejected, rows } = await readAll(`${FIXTURES}accepted/${name}`, KNOWN);
    expect(taken).toEqual([
      [1_767_592_800_000, 2, 1],
      [1_767_592_800_000, 0, 40.125],
      [1_767_592_800_000, 1, 39.5],
      [1_767_592_801_250, 0, -0.5],
      [1_767_592_801_250, 1, 1200],
      [1_767_592_802_000, 2, 0],
    ]);
    expect(rejected).toEqual([]);
    expect(rows).toBe(6);
  });
});

describe('a file that is no recording as a whole', () => {
  const REFUSED: Readonly<Record<string, readonly [code: string, words: RegExp]>> = {
    'binary.csv': ['recording-no-header', /no text in UTF-8/],
    'column-twice.csv': ['recording-no-header', /column value twice/],
    'damaged.csv.gz': ['recording-not-gzip', /damaged/],
    'empty-inside.csv.gz': ['recording-empty', /is empty/],
    'empty.csv': ['recording-empty', /is empty/],
    'no-header.csv': ['recording-no-header', /no column "time" in its first line "2026-01-05T06:00:00Z,enamel\/running,1"/],
    'no-rows.csv': ['recording-no-rows', /a header and no rows/],
    'no-value-column.csv': ['recording-no-header', /no column "value"/],
    'not-gzip.csv.gz': ['recording-not-gzip', /does not begin as gzip/],
    'not-parquet.parquet': ['recording-not-parquet', /does not begin as one/],
    'only-blank-rows.csv': ['recording-no-rows', /a header and no rows/],
    'only-line-breaks.csv': ['recording-empty', /is empty/],
    'semicolons.csv': ['recording-no-header', /separated by commas/],
    'truncated-checksum.csv.gz': ['recording-truncated', /ends too early/],
    'truncated.csv.gz': ['recording-truncated', /ends too early/],
    'utf-16.csv': ['recording-no-header', /no text in UTF-8/],
  };

  it('has a file for every way of being refused', async () => {
    expect((await readdir(`${FIXTURES}refused`)).sort()).toEqual(Object.keys(REFUSED).sort());
  });

  it.each(Object.entries(REFUSED))('%s is refused in one line that names the file and a remedy', async (name, [code, words]) => {
    const path = `${FIXTURES}refused/${name}`;
    const fault = await faultOf(path);
    expect(fault.code).toBe(code);
    expect(fault.exitCode).toBe(1);
    expect(fault.message).toMatch(words);
    expect(fault.message.startsWith(`${path}: `)).toBe(true);
    expect(fault.message).toMatch(/; /);
    expect(fault.message).not.toMatch(/\n/);
  });

  it('is refused where it is missing, or a folder', async () => {
    expect((await faultOf(scratch('missing.csv'))).code).toBe('recording-missing');
    await mkdir(scratch('folder.csv'));
    expect((await faultOf(scratch('folder.csv'))).code).toBe('recording-unreadable');
  });

  it('is refused where it is cut short anywhere within its gzip data', async () => {
    const whole = await readFile(`${FIXTURES}accepted/gzip.csv.gz`);
    for (let length = 2; length < whole.length; length += 7) {
      await writeFile(scratch('cut.csv.gz'), whole.subarray(0, length));
      expect((await faultOf(scratch('cut.csv.gz'))).code).toBe('recording-truncated');
    }
  });
});

describe('rows that cannot be taken', () => {
  it('are listed with line and reason, and stop nothing', async () => {
    const { taken, lines, rejected, rows } = await readAll(`${FIXTURES}rejected/every-fault.csv`, KNOWN);
    expect(rejected).toEqual([
      '3 unparsable',
      '4 unparsable',
      '5 unparsable',
      '6 unparsable',
      '7 unparsable',
      '8 unparsable',
      '9 unparsable',
      '10 unparsable',
      '11 unparsable',
      '12 unparsable',
      '13 unparsable',
      '14 unknown-signal',
      '15 unknown-signal',
      '18 late',
      '20 duplicate',
      '22 unparsable',
    ]);
    expect(lines).toEqual([2, 8, 9, 10, 11, 12, 13, 19, 17, 21, 23]);
    expect(taken.filter(([, , value]) => Number.isNaN(value))).toHaveLength(6);
    expect(rows).toBe(21);
  });
});

describe('a recording being read', () => {
  it('says how far it has come', async () => {
    const recording = openRecording(`${FIXTURES}accepted/plain.csv`, KNOWN, () => undefined);
    expect(recording.share).toBe(0);
    for await (const batch of recording) expect(batch.count).toBe(6);
    expect(recording.share).toBe(1);
    expect(recording.rows).toBe(6);
  });

  it('may be left before its end', async () => {
    const row = '2026-01-05T06:00:00Z,enamel/running,1\n';
    const rows = Array.from({ length: 70_000 }, (_, i) =>
      row.replace('06:00', `${String(6 + (Math.floor(i / 3600) % 10)).padStart(2, '0')}:00`),
    );
    await writeFile(scratch('long.csv'), `time,signal,value\n${rows.join('')}`);
    for await (const batch of openRecording(scratch('long.csv'), KNOWN, () => undefined)) {
      expect(batch.count).toBeGreaterThan(0);
      break;
    }
  });
});
