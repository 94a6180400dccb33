import { copyFileSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, it, test } from 'vitest';
import { runCommand } from '../../agent/commands/run-command.js';
import { COMMANDS } from '../../agent/commands/table.js';

const CASE = 'fixtures/replay/removal-recorded-late';
const [SITE, RECORDING, SERVICE] = ['site.yaml', 'recording.csv', 'service.jsonl'].map((name) => join(CASE, name)) as [
  string,
  string,
  string,
];

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'takeline-fixture-command-'));
});
afterAll(() => {
  rmSync(folder, { recursive: true });
});

async function fixture(...args: string[]): Promise<{ code: number; out: string[]; err: string[] }> {
  const said: string[] = [];
  const err: string[] = [];
  const io = { out: (line: string) => said.push(line), err: (line: string) => err.push(line) };
  return { code: await runCommand(COMMANDS, ['fixture', ...args], io), out: said, err };
}

const kept = (...path: string[]): string => readFileSync(join(folder, 'cases', ...path), 'utf8');

describe('a stretch that is kept', () => {
  it('has site, readings and entries of the stretch, what it teaches, and today’s result as what is expected', async () => {
    const { code, out } = await fixture(
      ...[SITE, RECORDING, '--name', 'late-entry', '--service', SERVICE, '--into', join(folder, 'cases')],
      ...['--from', '2026-03-02T06:00:00Z', '--to', '2026-03-02T22:00:00Z', '--teaches', 'An entry that comes late.'],
    );
    expect(code).toBe(0);
    expect(out.at(-1)).toContain('look through expected/ before you trust it');
    const rows = kept('late-entry', 'recording.csv').trimEnd().split('\n');
    expect(rows[0]).toBe('time,signal,value');
    expect(rows[1]).toMatch(/^2026-03-02T06:00:00Z/);
    expect(rows.at(-1)).toMatch(/^2026-03-02T22:00:00Z/);
    // The correction of the next morning was not known yet.
    expect(kept('late-entry', 'service.jsonl').trimEnd().split('\n')).toHaveLength(1);
    expect(kept('late-entry', 'about.md')).toBe('# Late entry\n\nAn entry that comes late.\n');
    expect(kept('late-entry', 'expected', 'alarms.jsonl')).toContain('change-unrecorded');
    expect(kept('late-entry', 'site.yaml')).toBe(readFileSync(SITE, 'utf8'));
  });

  it('is as expected when it is checked, and what differs afterwards is shown by its line', async () => {
    expect((await fixture('--check', join(folder, 'cases'))).out).toEqual(['late-entry: as expected', '1 of 1 as expected']);
    const path = join(folder, 'cases', 'late-entry', 'expected', 'alarms.jsonl');
    const expected = readFileSync(path, 'utf8');
    writeFileSync(path, expected.replace('"change":"raised"', '"change":"cleared"'));
    const { code, out } = await fixture('--check', join(folder, 'cases', 'late-entry'));
    expect(code).toBe(1);
    expect(out.join('\n')).toMatch(/late-entry: differs\n {2}alarms.jsonl\n {4}- .*cleared.*\n {4}\+ .*raised/);
    writeFileSync(path, expected);
  });

  it('keeps bad rows as they stand, since the case may be about them', async () => {
    const bad = 'fixtures/replay/bad-rows';
    const packed = join(folder, 'bad-rows.csv.gz');
    writeFileSync(packed, gzipSync(readFileSync(join(bad, 'recording.csv'))));
    const { code } = await fixture(join(bad, 'site.yaml'), packed, '--name', 'bad', '--into', join(folder, 'bad'));
    expect(code).toBe(0);
    expect(readFileSync(join(folder, 'bad', 'bad', 'expected', 'rejects.csv'), 'utf8')).toBe(
      readFileSync(join(bad, 'expected', 'rejects.csv'), 'utf8'),
    );
    expect(readFileSync(join(folder, 'bad', 'bad', 'about.md'), 'utf8')).toContain('Alarms: signal-fault. Findings: none.');
  });
});

describe('what cannot be kept', () => {
  test.each([
    [['--name', 'Late Entry'], 'small letters, digits and hyphens'],
    [['--name', 'late-entry'], 'there is a fixture of that name'],
  ])('%j: %s', async (args, words) => {
    const { code, err } = await fixture(SITE, RECORDING, ...args, '--into', join(folder, 'cases'));
    expect(code).toBe(1);
    expect(err).toEqual([expect.stringContaining(words)]);
    expect(readdirSync(join(folder, 'cases'))).toEqual(['late-entry']);
  });

  it('leaves nothing behind', async () => {
    const service = join(folder, 'wrong.jsonl');
    writeFileSync(service, '{"time":"2026-03-02T08:00:00Z","conveyor":"nowhere","kind":"lubricated"}\n');
    const { code, err } = await fixture(SITE, RECORDING, '--name', 'wrong', '--service', service, '--into', join(folder, 'none'));
    expect(code).toBe(1);
    expect(err[0]).toContain('wrong.jsonl:1:');
    expect(existsSync(join(folder, 'none'))).toBe(false);
  });

  it('is told from a long recording that a shorter stretch is needed', async () => {
    const long = join(folder, 'long.csv');
    writeFileSync(long, `time,signal,value\n${'2026-03-02T06:00:00Z,enamel/tu1/left/position,40\n'.repeat(60_000)}`);
    const { code, err } = await fixture(SITE, long, '--name', 'long', '--into', join(folder, 'none'));
    expect([code, err]).toEqual([1, [expect.stringContaining('take a shorter stretch')]]);
  });

  test.each([
    [[SITE, RECORDING], '--name NAME is needed'],
    [[SITE, '--name', 'a'], 'a recording are needed'],
    [[SITE, RECORDING, '--name', 'a', '--from', 'yesterday'], 'take a time with its offset'],
    [[SITE, RECORDING, '--name', 'a', '--from', '2026-03-03T00:00:00Z', '--to', '2026-03-02T00:00:00Z'], 'must not be before'],
    [[SITE, '--check', 'a'], 'stands alone'],
  ])('wrong usage %j ends with 2', async (args, words) => {
    const { code, err } = await fixture(...args);
    expect([code, err]).toEqual([2, [expect.stringContaining(words)]]);
  });
});

describe('a check', () => {
  it('of an empty folder, of a missing one and of a case without its recording proves nothing, and fails', async () => {
    const empty = mkdtempSync(join(folder, 'empty-'));
    expect((await fixture('--check', empty)).err).toEqual([expect.stringContaining('there is no case in it')]);
    expect((await fixture('--check', join(empty, 'gone'))).err).toEqual([expect.stringContaining('there is no such file or folder')]);
    copyFileSync(SITE, join(empty, 'site.yaml'));
    expect((await fixture('--check', empty)).err).toEqual([expect.stringContaining('recording.csv is missing')]);
  });
});
