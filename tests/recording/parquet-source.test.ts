import { readFile, writeFile } from 'node:fs/promises';
import { describe, expect, it } from 'vitest';
import { TakelineFault } from '../../agent/process/fault.js';
import { openRecording } from '../../agent/recording/open-recording.js';
import { writeParquet } from './parquet-file.js';
import { readAll } from './read-all.js';
import { scratchFolder } from './scratch.js';

const KNOWN = ['a/left', "a/it's", 'a/running'];
const SIX = 1_767_592_800_000;

const scratch = scratchFolder();

async function read(query: string, name = 'table.parquet') {
  await writeParquet(scratch(name), query);
  return readAll(scratch(name), KNOWN);
}

describe('the time of a Parquet recording', () => {
  it.each([
    ["TIMESTAMPTZ '2026-01-05 07:00:00.1234567+01'", 123],
    ["TIMESTAMP '2026-01-05 06:00:00.123'", 123],
    ["CAST('2026-01-05 06:00:00' AS TIMESTAMP_S)", 0],
    ["CAST('2026-01-05 06:00:00.25' AS TIMESTAMP_MS)", 250],
    ["CAST('2026-01-05 06:00:00.123499999' AS TIMESTAMP_NS)", 123],
    ["TIMESTAMPTZ '2026-01-05 06:00:00.9995+00'", 1000],
    ['1767592800500::BIGINT', 500],
    ['1767592800500::HUGEINT', 500],
    ['1767592800500.6::DOUBLE', 501],
    ['1767592800500.25::DECIMAL(18, 2)', 500],
    ["'2026-01-05T07:00:00.5+01:00'", 500],
    ["'1767592800007'", 7],
  ])('may be %s', async (sql, ms) => {
    expect((await read(`SELECT ${sql} AS time, 'a/left' AS signal, 1.5 AS value`)).taken).toEqual([[SIX + ms, 0, 1.5]]);
  });

  it.each([
    'NULL::TIMESTAMP',
    "'infinity'::TIMESTAMPTZ",
    'NULL::BIGINT',
    "'2026-01-05T06:00:00'",
    "''",
    "'nan'::DOUBLE",
    '1767592800500000::BIGINT',
  ])('cannot be %s: the row is listed', async (sql) => {
    const { taken, rejected } = await read(`SELECT ${sql} AS time, 'a/left' AS signal, 1.5 AS value`);
    expect(taken).toEqual([]);
    expect(rejected).toEqual(['2 unparsable']);
  });
});

describe('the value of a Parquet recording', () => {
  it.each([
    ['2.25::DOUBLE', 2.25],
    ['2.5::FLOAT', 2.5],
    ['7::TINYINT', 7],
    ['4000000000::UINTEGER', 4e9],
    ['12.345::DECIMAL(9, 3)', 12.345],
    ['true', 1],
    ['false', 0],
    ["'40.125'", 40.125],
    ["' TRUE '", 1],
  ])('may be %s', async (sql, value) => {
    expect((await read(`SELECT 1 AS time, 'a/left' AS signal, ${sql} AS value`)).taken).toEqual([[1, 0, value]]);
  });

  it.each(["'nan'::DOUBLE", "'-inf'::DOUBLE", 'NULL::DOUBLE', 'NULL::BOOLEAN', "'NaN'", "'0x1F'", "'1_000'", 'NULL::VARCHAR'])(
    'is of no use as %s: the row is listed, and handed on as a fault of its signal',
    async (sql) => {
      const { taken, rejected } = await read(`SELECT 1 AS time, 'a/left' AS signal, ${sql} AS value`);
      expect(taken).toEqual([[1, 0, NaN]]);
      expect(rejected).toEqual(['2 unparsable']);
    },
  );
});

describe('the signal of a Parquet recording', () => {
  it('is found by its name, and listed where the site has none of it', async () => {
    const { taken, rejected } = await read(
      "SELECT unnest([1, 2, 3, 4]) AS time, unnest(['a/it''s', 'a/LEFT', NULL, 'a/left']) AS signal, 1 AS value",
    );
    expect(taken).toEqual([
      [1, 1, 1],
      [4, 0, 1],
    ]);
    expect(rejected).toEqual(['3 unknown-signal', '4 unknown-signal']);
  });

  it('may be an enumeration or bytes', async () => {
    expect((await read("SELECT 1 AS time, 'a/left'::ENUM('x', 'a/left') AS signal, 1 AS value")).taken).toEqual([[1, 0, 1]]);
    expect((await read("SELECT 1 AS time, 'a/left'::BLOB AS signal, 1 AS value")).taken).toEqual([[1, 0, 1]]);
  });

  it('is unknown throughout where the site has no signals', async () => {
    await writeParquet(scratch('none.parquet'), "SELECT 1 AS time, 'a/left' AS signal, 1 AS value");
    expect((await readAll(scratch('none.parquet'), [])).rejected).toEqual(['2 unknown-signal']);
  });
});

describe('the rows of a Parquet recording', () => {
  it('keep their order over many row groups, and are listed by their number', async () => {
    const many = 300_000;
    const { taken, lines, rows } = await read(
      `SELECT range * 10 AS time, CASE WHEN range % 2 = 0 THEN 'a/left' ELSE 'a/running' END AS signal, range AS value FROM range(${many})`,
    );
    expect(rows).toBe(many);
    expect(taken).toHaveLength(many);
    expect(taken.every(([timeMs, signal, value], i) => timeMs === i * 10 && signal === (i % 2) * 2 && value === i)).toBe(true);
    expect(lines.every((line, i) => line === i + 2)).toBe(true);
  });

  it('may have others beside the three columns, in any order and case', async () => {
    expect((await read("SELECT 'x' AS note, 2.5 AS Value, 'a/left' AS SIGNAL, 7 AS Time")).taken).toEqual([[7, 0, 2.5]]);
  });

  it('are those of the file of that very name, whatever characters it has', async () => {
    await writeParquet(scratch('a1.parquet'), "SELECT 1 AS time, 'a/left' AS signal, 111 AS value");
    for (const name of ['a[1].parquet', 'a*.parquet', 'a?.parquet', "it's.parquet"]) {
      expect((await read("SELECT 1 AS time, 'a/left' AS signal, 222 AS value", name)).taken).toEqual([[1, 0, 222]]);
    }
  });

  it('may be left before their end', async () => {
    await writeParquet(scratch('long.parquet'), "SELECT range * 1000 AS time, 'a/left' AS signal, 1 AS value FROM range(200000)");
    const recording = openRecording(scratch('long.parquet'), KNOWN, () => undefined);
    for await (const batch of recording) {
      expect(batch.count).toBeGreaterThan(0);
      break;
    }
    expect(recording.share).toBeGreaterThan(0);
    expect(recording.share).toBeLessThan(1);
  });
});

describe('a Parquet file that is no recording', () => {
  const refused = async (path: string) =>
    readAll(path, KNOWN).then(
      () => 'was read',
      (error: unknown) => (error instanceof TakelineFault ? error : error),
    );

  it.each([
    ["SELECT 1 AS time, 'a/left' AS signal", 'recording-columns', /no column value/],
    ["SELECT DATE '2026-01-05' AS time, 'a/left' AS signal, 1 AS value", 'recording-columns', /column time is DATE/],
    ["SELECT 1 AS time, 'a/left' AS signal, [1] AS value", 'recording-columns', /column value is INTEGER\[\]/],
    ["SELECT 1 AS time, 'a/left' AS signal, 1 AS value LIMIT 0", 'recording-no-rows', /no rows/],
  ])('is refused: %s', async (query, code, words) => {
    await writeParquet(scratch('refused.parquet'), query);
    expect(await refused(scratch('refused.parquet'))).toMatchObject({
      name: 'TakelineFault',
      code,
      message: expect.stringMatching(words) as string,
    });
  });

  it('is refused where it is cut short', async () => {
    await writeParquet(scratch('whole.parquet'), "SELECT 1 AS time, 'a/left' AS signal, 1 AS value");
    const whole = await readFile(scratch('whole.parquet'));
    await writeFile(scratch('cut.parquet'), whole.subarray(0, whole.length - 9));
    expect(await refused(scratch('cut.parquet'))).toMatchObject({ name: 'TakelineFault', code: 'recording-not-parquet' });
  });
});
