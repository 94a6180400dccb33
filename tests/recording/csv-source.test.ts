import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CsvSource } from '../../agent/recording/csv-source.js';
import { LONGEST_RECORD } from '../../agent/recording/csv-record.js';
import type { ReadingBatch } from '../../agent/recording/reading-batch.js';
import { SignalNames } from '../../agent/recording/signal-names.js';
import { listed, rowsOf } from './read-all.js';

const KNOWN = ['a/left', 'a/right'];

/** Reads a CSV that comes in chunks cut at the given offsets. */
async function readCut(bytes: Buffer, cuts: readonly number[]) {
  const edges = [0, ...cuts.filter((cut) => cut <= bytes.length).sort((a, b) => a - b), bytes.length];
  const chunks = edges.slice(1).map((edge, i) => bytes.subarray(edges[i], edge));
  const rejects: { readonly line: number; readonly reason: string }[] = [];
  const source = new CsvSource('cut.csv', inTurn(chunks), new SignalNames(KNOWN), (line, reason) => rejects.push({ line, reason }));
  const batches: ReadingBatch[] = [];
  for await (const batch of source.batches()) batches.push(batch);
  return { ...rowsOf(batches), rejected: listed(rejects), rows: source.rows };
}

async function* inTurn(chunks: readonly Buffer[]): AsyncGenerator<Buffer> {
  for (const chunk of chunks) yield await Promise.resolve(chunk);
}

const read = (text: string) => readCut(Buffer.from(text), []);

describe('the lines of a recording', () => {
  it('are counted as an editor counts them: blank ones, and those within quotes', async () => {
    const { lines, rejected, rows } = await read(
      'time,signal,value\n\n1,a/left,1\n  \t\r\n2,a/left,2,"two\nlines"\n3,b,3\n\n4,a/left,4\n\n',
    );
    expect(lines).toEqual([3, 5, 9]);
    expect(rejected).toEqual(['7 unknown-signal']);
    expect(rows).toBe(4);
  });

  it('may come before the header, blank', async () => {
    expect((await read('\r\n\ntime,signal,value\n1,a/left,1\n')).lines).toEqual([4]);
  });

  it('are passed over one by one where a quote is never closed, so that the rows behind it are kept', async () => {
    const { taken, rejected } = await read('time,signal,value\n1,a/left,1\n"2,a/left,2\n3,a/left,3\n4,"a/left,4\n5,a/left,5\n');
    expect(taken.map(([timeMs]) => timeMs)).toEqual([1, 3, 5]);
    expect(rejected).toEqual(['3 unparsable', '5 unparsable']);
  });

  it('are passed over whole where they are longer than any row can be', async () => {
    const long = 'x'.repeat(3 * LONGEST_RECORD);
    const text = `time,signal,value\n1,a/left,1\n${long}\n2,a/left,2,${long}\n3,a/left,3\n`;
    for (const cuts of [[], [50], [70_000, 140_000, 200_030, 290_000]]) {
      const { taken, rejected } = await readCut(Buffer.from(text), cuts);
      expect(taken.map(([timeMs]) => timeMs)).toEqual([1, 3]);
      expect(rejected).toEqual(['3 unparsable', '4 unparsable']);
    }
  });
});

describe('a row', () => {
  it('may have more fields than the header, and may not lack one that is needed', async () => {
    const { taken, rejected } = await read('time,note,signal,value\n1,x,a/left,1,more,still\n2,a/left,2\n3\n4,x,a/left\n');
    expect(taken).toEqual([[1, 0, 1]]);
    expect(rejected).toEqual(['3 unparsable', '4 unparsable', '5 unparsable']);
  });

  it('without a usable value is listed, and handed on as a fault of its signal', async () => {
    const { taken, rejected } = await read('time,signal,value\n1,a/left,NaN\n2,a/right,\n3,b,NaN\nx,a/left,4\n');
    expect(taken).toEqual([
      [1, 0, NaN],
      [2, 1, NaN],
    ]);
    expect(rejected).toEqual(['2 unparsable', '3 unparsable', '4 unparsable', '5 unparsable']);
  });
});

describe('wherever a recording is cut into chunks', () => {
  const field = fc.constantFrom(
    '1',
    '2',
    '2026-01-05T06:00:00Z',
    'a/left',
    'a/right',
    'b',
    'NaN',
    '',
    '"a/left"',
    '"7"',
    '"x""y"',
    '"two\nlines"',
    '"open',
    'in"side',
    'true',
    ' 3 ',
  );
  const row = fc.oneof(
    {
      weight: 3,
      arbitrary: fc
        .tuple(fc.constantFrom('1', '2', '3', '2026-01-05T06:00:00Z'), fc.constantFrom('a/left', 'a/right'), fc.constantFrom('1', '2.5'))
        .map((fields) => fields.join(',')),
    },
    { weight: 2, arbitrary: fc.array(field, { maxLength: 5 }).map((fields) => fields.join(',')) },
  );
  const lineBreak = fc.constantFrom('\n', '\r\n');
  const header = fc.constantFrom('time,signal,value', '\ufefftime,signal,value', '"time",note,"signal","value"', 'value,signal,time');

  it('the same rows come out', async () => {
    const file = fc
      .tuple(header, fc.array(row, { minLength: 1, maxLength: 12 }), lineBreak)
      .map(([first, rows, end]) => Buffer.from(`${first}${end}1,a/left,1${end}${rows.join(end)}`));
    await fc.assert(
      fc.asyncProperty(file, fc.array(fc.nat(200), { maxLength: 8 }), async (bytes, cuts) => {
        expect(await readCut(bytes, cuts)).toEqual(await readCut(bytes, []));
      }),
      { numRuns: 500 },
    );
  });

  it('down to single bytes', async () => {
    const bytes = Buffer.from('\ufefftime,signal,value,note\r\n1,a/left,1,"two\r\nlines"\r\n"2","a/right","2","said ""so"""\n3,a/left,3,');
    const cuts = Array.from({ length: bytes.length }, (_, i) => i);
    expect(await readCut(bytes, cuts)).toEqual({
      taken: [
        [1, 0, 1],
        [2, 1, 2],
        [3, 0, 3],
      ],
      lines: [2, 4, 5],
      rejected: [],
      rows: 3,
    });
  });
});

describe('rows without quotes', () => {
  const time = fc.constantFrom(
    '2026-01-05T06:00:00Z',
    '2026-01-05T06:00:00.5Z',
    '1767592800100',
    '2026-01-05T07:00:01+01:00',
    '2026-01-05T06:00:00',
    'soon',
  );
  const signal = fc.constantFrom('a/left', 'a/right', 'a/middle', '');
  const value = fc.constantFrom('1', '-2.5', '3e2', '0.1234567890123456789', 'true', 'NaN', '', '1,5');

  it('are each taken or listed by what they say, field by field', async () => {
    const rows = fc.array(fc.tuple(time, signal, value), { minLength: 1, maxLength: 30 });
    const known = new Map([
      ['a/left', 0],
      ['a/right', 1],
    ]);
    const meant = new Map([
      ['2026-01-05T06:00:00Z', 1_767_592_800_000],
      ['2026-01-05T06:00:00.5Z', 1_767_592_800_500],
      ['1767592800100', 1_767_592_800_100],
      ['2026-01-05T07:00:01+01:00', 1_767_592_801_000],
    ]);
    await fc.assert(
      fc.asyncProperty(rows, async (written) => {
        const { rejected, rows: counted } = await read(`time,signal,value\n${written.map((fields) => fields.join(',')).join('\n')}\n`);
        const unparsable = written.flatMap(([t, , v], i) => (meant.has(t) && v !== 'NaN' && v !== '' ? [] : [`${i + 2} unparsable`]));
        const unknown = written.flatMap(([t, s, v], i) =>
          meant.has(t) && v !== 'NaN' && v !== '' && !known.has(s) ? [`${i + 2} unknown-signal`] : [],
        );
        expect(rejected.filter((line) => line.endsWith('unparsable'))).toEqual(unparsable);
        expect(rejected.filter((line) => line.endsWith('unknown-signal'))).toEqual(unknown);
        expect(counted).toBe(written.length);
      }),
    );
  });
});
