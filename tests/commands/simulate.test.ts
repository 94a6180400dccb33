import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { runCommand } from '../../agent/commands/run-command.js';
import { COMMANDS } from '../../agent/commands/table.js';
import { openRecording } from '../../agent/recording/open-recording.js';
import { PRESETS } from '../../agent/simulate/presets.js';

const SITE = 'fixtures/sites/good/full.yaml';

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'takeline-simulate-'));
});
afterAll(() => {
  rmSync(folder, { recursive: true });
});

async function simulate(...args: string[]): Promise<{ code: number; out: string[]; err: string[] }> {
  const out: string[] = [];
  const err: string[] = [];
  const io = { out: (line: string) => out.push(line), err: (line: string) => err.push(line) };
  const code = await runCommand(COMMANDS, ['simulate', ...args], io);
  return { code, out, err };
}

function written(name: string): string {
  return readFileSync(join(folder, name), 'utf8');
}

describe('takeline simulate', () => {
  it('writes a recording with the header, in order of time, from the start for so many days', async () => {
    const { code, err } = await simulate(SITE, '--days', '0.05', '--start', '2026-02-02T08:00:00+01:00', '--out', join(folder, 'a.csv'));
    expect({ code, err }).toEqual({ code: 0, err: [] });
    const [header, ...rows] = written('a.csv').trimEnd().split('\n');
    expect(header).toBe('time,signal,value');
    const times = rows.map((row) => Date.parse(row.split(',')[0]!));
    expect(times).toEqual([...times].sort((a, b) => a - b));
    expect(times[0]).toBeGreaterThanOrEqual(Date.parse('2026-02-02T07:00:00Z'));
    expect(times.at(-1)).toBeLessThan(Date.parse('2026-02-02T07:00:00Z') + 0.05 * 86_400_000);
    expect(new Set(rows.map((row) => row.split(',')[1])).size).toBe(7);
  });

  it('writes the same rows as CSV, gzip and Parquet, and the same ones every time', async () => {
    for (const name of ['b.csv', 'c.csv', 'b.csv.gz', 'b.parquet']) await simulate(SITE, '--days', '0.02', '--out', join(folder, name));
    expect(written('c.csv')).toBe(written('b.csv'));
    expect(gunzipSync(readFileSync(join(folder, 'b.csv.gz'))).toString()).toBe(written('b.csv'));
    const rows = written('b.csv').trimEnd().split('\n').length - 1;
    const names = [
      ...new Set(
        written('b.csv')
          .split('\n')
          .slice(1)
          .map((row) => row.split(',')[1] ?? ''),
      ),
    ].filter((name) => name !== '');
    let read = 0;
    for await (const batch of openRecording(join(folder, 'b.parquet'), names, () => expect.unreachable())) read += batch.count;
    expect(read).toBe(rows);
    await simulate(SITE, '--days', '0.02', '--seed', '2', '--out', join(folder, 'd.csv'));
    expect(written('d.csv')).not.toBe(written('b.csv'));
  });

  it('writes what was recorded of the work, and the truth, beside it', async () => {
    await simulate(SITE, '--days', '2', '--period', '60', '--scenario', 'serviced', '--out', join(folder, 'e.csv'));
    const entries = written('e.csv.service.jsonl')
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line) as Record<string, unknown>);
    expect(entries.map((entry) => entry['kind'])).toEqual(['lubricated', 'inspected', 'chain-removed', 'nut-turned']);
    const truth = JSON.parse(written('e.csv.truth.json')) as Record<'now' | 'steps' | 'faults' | 'days', Record<string, unknown>[]>;
    expect(truth.steps.map((step) => step['kind'])).toEqual(['lubricated', 'inspected', 'chain-removed', 'nut-turned']);
    expect(truth.steps[2]).toMatchObject({ time: '2026-01-06T06:00:00Z', conveyor: 'enamel', pitches: 2, recorded: 'rightly' });
    expect(truth.days.map((day) => day['date'])).toEqual(['2026-01-05', '2026-01-06', '2026-01-07']);
    expect(truth.now[0]).toMatchObject({ conveyor: 'enamel', takeup: 'tu1', pitches: 3198 });
    expect(truth.faults).toEqual([]);
  });

  it('does the work of a service log on the plant', async () => {
    const log = join(folder, 'log.jsonl');
    writeFileSync(log, '{"time":"2026-01-05T18:00:00Z","conveyor":"enamel","kind":"chain-inserted","pitches":2}\n');
    await simulate(SITE, '--days', '1', '--period', '60', '--service', log, '--out', join(folder, 'f.csv'));
    expect(JSON.parse(written('f.csv.service.jsonl'))).toMatchObject({ kind: 'chain-inserted', pitches: 2 });
    expect(written('f.csv.truth.json')).toContain('"pitches": 3202');
  });

  it('takes a scenario from a file, and tells its faults each on a line', async () => {
    const good = join(folder, 'good.json');
    const bad = join(folder, 'bad.json');
    writeFileSync(
      good,
      '{ "conveyors": { "enamel": { "troubles": [{ "kind": "chain-slack", "from": 0.1, "chain_mm": 30, "within_s": 4 }] } } }',
    );
    writeFileSync(bad, '{ "conveyors": { "enamel": { "waer": {}, "speed_m_per_min": 0 } } }');
    expect((await simulate(SITE, '--days', '0.2', '--period', '60', '--scenario', good, '--out', join(folder, 'g.csv'))).code).toBe(0);
    expect(written('g.csv.truth.json')).toContain('"chain-slack"');
    const { code, err } = await simulate(SITE, '--days', '1', '--scenario', bad, '--out', join(folder, 'h.csv'));
    expect(code).toBe(1);
    expect(err).toEqual([`${bad}: conveyors.enamel.waer: there is no such key; perhaps wear was meant`]);
    expect(existsSync(join(folder, 'h.csv'))).toBe(false);
  });

  it('names every scenario in its help', async () => {
    const { code, out } = await simulate('--help');
    expect(code).toBe(0);
    for (const { name } of PRESETS) expect(out.join('\n')).toContain(name);
  });

  it.each([
    ['no site', ['--days', '1', '--out', 'x.csv'], 2, 'a site file is needed'],
    ['no days', [SITE, '--out', 'x.csv'], 2, '--days N and --out FILE are needed'],
    ['days that are none', [SITE, '--days=-1', '--out', 'x.csv'], 2, '--days takes a number above 0'],
    ['a seed that is no whole number', [SITE, '--days', '1', '--out', 'x.csv', '--seed', '1.5'], 2, '--seed takes a whole number'],
    ['a time without offset', [SITE, '--days', '1', '--out', 'x.csv', '--start', '2026-01-05T06:00'], 2, '--start takes a time'],
    ['an option that there is not', [SITE, '--days', '1', '--out', 'x.csv', '--sead', '1'], 2, '--sead'],
    ['two sites', [SITE, SITE, '--days', '1', '--out', 'x.csv'], 2, 'one site at a time'],
    ['a site that there is not', ['nowhere.yaml', '--days', '1', '--out', 'x.csv'], 1, 'there is no such file'],
    ['a scenario that there is not', [SITE, '--days', '1', '--out', 'x.csv', '--scenario', 'helthy'], 1, 'perhaps healthy was meant'],
    ['a scenario file that there is not', [SITE, '--days', '1', '--out', 'x.csv', '--scenario', 'no.json'], 1, 'no.json: the scenario'],
    ['a folder that there is not', [SITE, '--days', '1', '--out', 'no/where/x.csv'], 1, 'cannot be written'],
  ])('ends plainly for %s', async (_, args, code, said) => {
    const before = readdirSync('.');
    const result = await simulate(...args);
    expect(result.code).toBe(code);
    expect(result.err.join('\n')).toContain(said);
    expect(readdirSync('.')).toEqual(before);
  });
});
