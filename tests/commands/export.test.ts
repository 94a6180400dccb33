import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { buffer } from 'node:stream/consumers';
import { gunzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { runCommand } from '../../agent/commands/run-command.js';
import { COMMANDS } from '../../agent/commands/table.js';
import { exportStream } from '../../agent/live/export-readings.js';
import { openSqliteReader } from '../../agent/store/sqlite-reader.js';
import { openSqliteWriter } from '../../agent/store/sqlite-writer.js';
import { formatTime } from '../../agent/units/time.js';
import { readings, START_MS } from '../store/samples.js';

const SIGNALS = ['enamel/tu1/left/position', 'enamel/tu2/left/position', 'enamel/running', 'dryer/tu1/left/position'];
const COUNT = 60_000;

describe('takeline export', () => {
  const folder = mkdtempSync(join(tmpdir(), 'takeline-export-'));
  beforeAll(async () => {
    const writer = await openSqliteWriter({ dataDir: folder, signals: SIGNALS });
    for (let i = 0; i < COUNT; i += 5000) {
      await writer.appendReadings(
        readings(...Array.from({ length: 5000 }, (_, k) => [(i + k) % 4, START_MS + (i + k) * 250, (i + k) / 100] as const)),
      );
    }
    await writer.writeOutputs({ checkpoint: { seq: writer.lastSeq, fingerprint: 'site', state: '{}' } });
    while (await writer.compactReadings());
    await writer.stop();
  });
  afterAll(() => {
    rmSync(folder, { recursive: true });
  });

  async function said(...args: string[]): Promise<{ code: number; out: string[]; err: string[] }> {
    const [out, err]: [string[], string[]] = [[], []];
    const io = { out: (line: string) => out.push(line), err: (line: string) => err.push(line) };
    const code = await runCommand(COMMANDS, ['export', '--data', folder, ...args], io);
    return { code, out, err };
  }

  it('writes a recording of a take-up and what its conveyor says, out of blocks and rows', async () => {
    const out = join(folder, 'tu1.csv');
    const answer = await said('--from', '2026-03-02T06:00:10Z', '--to', '2026-03-02T10:10:00Z', '--takeup', 'enamel/tu1', '--out', out);
    const lines = readFileSync(out, 'utf8').trimEnd().split('\n');
    expect(answer).toEqual({ code: 0, out: [`${lines.length - 1} readings in ${out}`], err: [] });
    const [first, last] = [40, 60_000 - 1];
    const expected = Array.from({ length: last - first + 1 }, (_, k) => first + k)
      .filter((i) => i % 4 === 0 || i % 4 === 2)
      .map((i) => `${formatTime(START_MS + i * 250)},${SIGNALS[i % 4]!},${i / 100}`);
    expect(lines.join('\n')).toBe(['time,signal,value', ...expected].join('\n'));
  });

  it('writes all of it where no take-up is named, gzipped and as Parquet too', async () => {
    for (const form of ['csv.gz', 'parquet']) {
      const out = join(folder, `all.${form}`);
      expect(await said('--from', '2026-03-02', '--out', out)).toMatchObject({ code: 0, out: [`${COUNT} readings in ${out}`] });
    }
    expect(
      gunzipSync(readFileSync(join(folder, 'all.csv.gz')))
        .toString()
        .split('\n'),
    ).toHaveLength(COUNT + 2);
  });

  it('gives the same bytes over the web as in a file', async () => {
    const out = join(folder, 'same.csv');
    await said('--from', '2026-03-02', '--to', '2026-03-03', '--out', out);
    const query = { fromMs: Date.parse('2026-03-02'), toMs: Date.parse('2026-03-03') };
    const stream = await exportStream(await openSqliteReader({ dataDir: folder }), query, 'csv');
    expect((await buffer(stream)).equals(readFileSync(out))).toBe(true);
    const zipped = await exportStream(await openSqliteReader({ dataDir: folder }), query, 'csv.gz');
    expect(gunzipSync(await buffer(zipped)).equals(readFileSync(out))).toBe(true);
    const parquet = await exportStream(await openSqliteReader({ dataDir: folder }), query, 'parquet');
    expect((await buffer(parquet)).subarray(0, 4).toString()).toBe('PAR1');
  });

  it('says where there is nothing, and writes nothing', async () => {
    const out = join(folder, 'nothing.csv');
    const { code, err } = await said('--from', '2020-01-01', '--to', '2020-02-01', '--out', out);
    expect({ code, err }).toEqual({ code: 1, err: [`there are no readings of any signal in that stretch; nothing was written`] });
    expect(existsSync(out)).toBe(false);
  });

  it.each([
    [['--out', 'x.csv'], '--from TIME'],
    [['--from', 'yesterday', '--out', 'x.csv'], 'yesterday'],
    [['--from', '2026-02-30', '--out', 'x.csv'], '2026-02-30'],
    [['--from', '2026-03-02', '--to', '2026-03-01', '--out', 'x.csv'], '--to must be after'],
    [['--from', '2026-03-02', '--takeup', 'a/b/c', '--out', 'x.csv'], 'CONVEYOR/TAKEUP'],
  ])('%o is wrong usage', async (args, words) => {
    const { code, err } = await said(...args);
    expect(code).toBe(2);
    expect(err[0]).toContain(words);
  });
});
