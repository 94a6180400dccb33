import { readFile, writeFile } from 'node:fs/promises';
import { gzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { CsvSource } from '../../agent/recording/csv-source.js';
import { openRecording } from '../../agent/recording/open-recording.js';
import type { ReadingBatch } from '../../agent/recording/reading-batch.js';
import { SignalNames } from '../../agent/recording/signal-names.js';
import { TimeOrder } from '../../agent/recording/time-order.js';
import { writeParquet } from './parquet-file.js';
import { scratchFolder } from './scratch.js';

const KNOWN = ['line/tu1/left/position'];
const MB = 1024 * 1024;

const scratch = scratchFolder();
const inBuffers = (): number => process.memoryUsage().arrayBuffers / MB;

/** The same megabyte so often, as a packed file unpacks to it; and the most that stood in buffers meanwhile, beyond what stood there before. */
function unpacked(head: string, unit: string, times: number, tail = '') {
  const block = Buffer.from(unit.repeat(MB / unit.length));
  const before = inBuffers();
  const most = { mb: 0 };
  async function* chunks(): AsyncGenerator<Buffer, void, undefined> {
    yield Buffer.from(head);
    for (let i = 0; i < times; i++) {
      yield block;
      most.mb = Math.max(most.mb, inBuffers() - before);
      await Promise.resolve();
    }
    yield Buffer.from(tail);
  }
  return { chunks: chunks(), most };
}

describe('a file that unpacks to far more than fits into memory', () => {
  it('is one line without an end: it is one row that is refused', async () => {
    const { chunks, most } = unpacked('time,signal,value\n', 'a', 96);
    const source = new CsvSource('endless.csv', chunks, new SignalNames(KNOWN), () => undefined);
    for await (const { count } of source.batches()) expect(count).toBe(0);
    expect(source.rows).toBe(1);
    expect(most.mb).toBeLessThan(64);
  });

  it('is line breaks without an end, and a header behind them: lines are counted, not kept', async () => {
    const { chunks, most } = unpacked('', '\n', 96, `time,signal,value\n5,${KNOWN[0]!},1\n`);
    const lines: number[] = [];
    const source = new CsvSource('breaks.csv', chunks, new SignalNames(KNOWN), () => undefined);
    for await (const { count, line } of source.batches()) lines.push(...line.subarray(0, count));
    expect(lines).toEqual([96 * MB + 2]);
    expect(most.mb).toBeLessThan(64);
  });

  it('says one row over and over: repeats are counted, not kept', () => {
    let repeated = 0;
    const before = inBuffers();
    const order = new TimeOrder(1, () => repeated++);
    for (let line = 2; line < 6_000_002; line++) order.add(5, 0, 1, line);
    expect(inBuffers() - before).toBeLessThan(64);
    order.finish();
    expect(order.takeReady().map(({ count }) => count)).toEqual([1]);
    expect(repeated).toBe(5_999_999);
  });
});

describe('whoever reads a file of which no row is used', () => {
  /** How many of its rows were read when it could first be left. */
  async function rowsAtFirstLook(path: string): Promise<number> {
    const recording = openRecording(path, KNOWN, () => undefined);
    for await (const batch of recording) {
      expect(batch.count).toBe(0);
      return recording.rows;
    }
    return Infinity;
  }

  it('can leave it before its end where it is packed text', async () => {
    const rows = gzipSync('2026-01-05T06:00:00Z,nobody/knows,1\n'.repeat(100_000));
    await writeFile(scratch('unknown.csv.gz'), Buffer.concat([gzipSync('time,signal,value\n'), ...Array<Buffer>(16).fill(rows)]));
    expect(await rowsAtFirstLook(scratch('unknown.csv.gz'))).toBeLessThan(800_000);
  });

  it('can leave it before its end where it is Parquet', async () => {
    await writeParquet(scratch('unknown.parquet'), `SELECT i AS "time", 'nobody/knows' AS signal, 1.5 AS value FROM range(600000) AS t(i)`);
    expect(await rowsAtFirstLook(scratch('unknown.parquet'))).toBeLessThan(400_000);
  });
});

describe('a Parquet file with a damaged stretch in it', () => {
  it('is refused, however well its ends stand: it is no shorter recording', async () => {
    const query = `SELECT 1767592800000 + i * 1000 AS "time", '${KNOWN[0]!}' AS signal, (hash(i) % 100000) / 1000 AS value FROM range(400000) AS t(i)`;
    await writeParquet(scratch('whole.parquet'), query);
    const bytes = await readFile(scratch('whole.parquet'));
    for (const share of [0.3, 0.6, 0.9]) {
      const damaged = Buffer.from(bytes);
      damaged.fill(0xff, Math.floor(share * bytes.length), Math.floor(share * bytes.length) + 4000);
      await writeFile(scratch('damaged.parquet'), damaged);
      const batches: ReadingBatch[] = [];
      const reading = (async () => {
        for await (const batch of openRecording(scratch('damaged.parquet'), KNOWN, () => undefined)) batches.push(batch);
      })();
      await expect(reading).rejects.toMatchObject({
        code: 'recording-not-parquet',
        message: expect.not.stringContaining('SELECT') as string,
      });
    }
  });
});
