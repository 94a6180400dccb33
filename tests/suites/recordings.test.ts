import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createRecordingWriter } from '../../agent/recording/create-recording-writer.js';
import { readAll, type WholeRecording } from '../recording/read-all.js';
import { scratchFolder } from '../recording/scratch.js';

type Row = readonly [timeMs: number, signal: string, value: number];

const FORMS = ['csv', 'csv.gz', 'parquet'] as const;
const KNOWN = ['enamel/tu1/left/position', 'enamel/tu1/right/position', 'enamel/running'];
const SIX = 1_767_592_800_000;

const scratch = scratchFolder();

/** Writes rows in every form and reads each back. */
async function throughEveryForm(rows: readonly Row[]): Promise<readonly WholeRecording[]> {
  const read: WholeRecording[] = [];
  for (const form of FORMS) {
    const path = scratch(`twin.${form}`);
    const writer = await createRecordingWriter(path);
    for (const row of rows) await writer.write(...row);
    await writer.close();
    read.push(await readAll(path, KNOWN));
  }
  return read;
}

const row: fc.Arbitrary<Row> = fc.tuple(
  fc.integer({ min: 0, max: 200_000 }).map((ms) => SIX + ms),
  fc.oneof(
    { weight: 9, arbitrary: fc.constantFrom(...KNOWN) },
    { weight: 1, arbitrary: fc.constantFrom('enamel/tu9/left/position', 'with "quotes", commas', "it's") },
  ),
  fc.oneof(
    { weight: 9, arbitrary: fc.double({ noNaN: true, noDefaultInfinity: true }).map((value) => value + 0) },
    { weight: 1, arbitrary: fc.constantFrom(NaN, Infinity) },
  ),
);

describe('a recording as CSV, gzip and Parquet', () => {
  it('gives the same readings and lists the same rows, whatever is in it', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(row, { minLength: 1, maxLength: 60 }), async (rows) => {
        const [csv, gzip, parquet] = await throughEveryForm(rows);
        expect(gzip).toEqual(csv);
        expect(parquet).toEqual(csv);
        expect(csv?.rows).toBe(rows.length);
      }),
      { numRuns: 25 },
    );
  });

  it('gives back what was written, over many batches and row groups', async () => {
    const rows = Array.from({ length: 400_000 }, (_, i): Row => [
      SIX + Math.floor(i / 3) * 100,
      KNOWN[i % 3]!,
      Math.round(Math.sin(i / 1000) * 1e6) / 1e3,
    ]);
    const taken = rows.map(([timeMs, , value], i) => [timeMs, i % 3, value]);
    for (const recording of await throughEveryForm(rows)) {
      expect(recording.rejected).toEqual([]);
      expect(recording.taken).toEqual(taken);
    }
  });
});
