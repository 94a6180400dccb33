import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createRecordingWriter } from '../../agent/recording/create-recording-writer.js';
import { parseTime } from '../../agent/units/time.js';
import { scratchFolder } from '../recording/scratch.js';
import { replayCase, replayCases, type ReplayTexts } from '../replay/case-files.js';

type Row = readonly [timeMs: number, signal: string, value: number];

const FORMS = ['csv', 'csv.gz', 'parquet'] as const;
const CASES = replayCases('fixtures/replay');
const BAD_ROWS = CASES.find(({ name }) => name === 'bad-rows')!;

const scratch = scratchFolder();

/** Writes rows in every form and replays each against the site of a case. */
async function replays(rows: readonly Row[], one: (typeof CASES)[number]): Promise<readonly ReplayTexts[]> {
  const texts: ReplayTexts[] = [];
  for (const form of FORMS) {
    const path = scratch(`twin.${form}`);
    const writer = await createRecordingWriter(path);
    for (const row of rows) await writer.write(...row);
    await writer.close();
    texts.push(await replayCase(one, path));
  }
  return texts;
}

/** The rows of a recording that can be written again: the time is one, and a value that is no number is NaN. */
function rowsOf(path: string): readonly Row[] {
  const lines = readFileSync(path, 'utf8')
    .replace(/^\ufeff/u, '')
    .trim()
    .split(/\r?\n/u)
    .slice(1);
  return lines.flatMap((line): Row[] => {
    const [time = '', signal = '', value] = line.split(',');
    const timeMs = parseTime(time);
    if (timeMs === undefined || value === undefined) return [];
    return [[timeMs, signal, value === 'true' ? 1 : /^-?\d+(\.\d+)?$/u.test(value) ? Number(value) : NaN]];
  });
}

describe.each(CASES)('the recording of $name as CSV, gzip and Parquet', (one) => {
  it('gives the same files, byte for byte', async () => {
    const [csv, gzip, parquet] = await replays(rowsOf(join(one.folder, 'recording.csv')), one);
    expect(gzip).toEqual(csv);
    expect(parquet).toEqual(csv);
  });

  it('gives the same files in two runs', async () => {
    expect(await replayCase(one)).toEqual(await replayCase(one));
  });
});

describe('any recording as CSV, gzip and Parquet', () => {
  const signal = fc.constantFrom('enamel/running', 'enamel/tu1/left/position', 'enamel/tu1/right/position', 'enamel/tu9/left/position');
  const value = fc.oneof(
    { weight: 8, arbitrary: fc.integer({ min: 0, max: 23_000 }).map((hundredths) => hundredths / 100) },
    { weight: 1, arbitrary: fc.constantFrom(0, 1, NaN, -50, 900) },
  );
  /** Mostly onwards, at times back or not at all. */
  const gapMs = fc.oneof(
    { weight: 8, arbitrary: fc.integer({ min: 1, max: 20_000 }) },
    { weight: 1, arbitrary: fc.integer({ min: -90_000, max: 0 }) },
  );

  it('gives the same files, whatever is in it', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(fc.tuple(gapMs, signal, value), { minLength: 1, maxLength: 300 }), async (steps) => {
        let timeMs = Date.parse('2026-02-12T06:00:00Z');
        const rows = steps.map(([gap, name, number]): Row => [(timeMs += gap), name, number]);
        const [csv, gzip, parquet] = await replays(rows, BAD_ROWS);
        expect(gzip).toEqual(csv);
        expect(parquet).toEqual(csv);
      }),
      { numRuns: 15 },
    );
  });
});
