import { copyFileSync, existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, it, test } from 'vitest';
import { replayCommand } from '../../agent/commands/replay.js';
import { runCommand } from '../../agent/commands/run-command.js';
import { COMMANDS } from '../../agent/commands/table.js';
import { REPLAY_FILES } from '../../agent/replay/write-replay.js';

const CASE = 'fixtures/replay/removal-recorded-late';
const SITE = join(CASE, 'site.yaml');
const RECORDING = join(CASE, 'recording.csv');
const SERVICE = join(CASE, 'service.jsonl');

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'takeline-replay-command-'));
});
afterEach(() => {
  rmSync(join(folder, 'out'), { recursive: true, force: true });
});
afterAll(() => {
  rmSync(folder, { recursive: true });
});

const out = (): string => join(folder, 'out');
function file(name: string, text: string): string {
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
}

async function replay(...args: string[]): Promise<{ code: number; out: string[]; err: string[] }> {
  const said: string[] = [];
  const err: string[] = [];
  const code = await runCommand(COMMANDS, ['replay', ...args], { out: (line) => said.push(line), err: (line) => err.push(line) });
  return { code, out: said, err };
}

describe('takeline replay', () => {
  it('writes its five files and says in a few lines what it found', async () => {
    const { code, out: said, err } = await replay(SITE, RECORDING, '--service', SERVICE, '--out', out());
    expect({ code, err }).toEqual({ code: 0, err: [] });
    expect(readdirSync(out()).sort()).toEqual([...REPLAY_FILES].sort());
    expect(said.join('\n')).toContain('2700 readings, 2026-03-02T05:00:00Z to 2026-03-03T10:58:00Z');
    expect(said.join('\n')).toContain('1 alarms raised, 1 findings');
    expect(said.at(-1)).toContain(out());
  });

  it('makes the folder where it is missing, and writes over what an earlier replay left in it', async () => {
    const deep = join(out(), 'of', 'march');
    mkdirSync(deep, { recursive: true });
    writeFileSync(join(deep, 'alarms.jsonl'), 'of yesterday\n');
    expect((await replay(SITE, RECORDING, '--out', deep)).code).toBe(0);
    expect(readFileSync(join(deep, 'alarms.jsonl'), 'utf8')).not.toContain('yesterday');
    expect(readdirSync(deep)).toHaveLength(REPLAY_FILES.length);
  });

  it('writes lines of JSON that a program can read, and a table with a header', async () => {
    await replay(SITE, RECORDING, '--service', SERVICE, '--out', out());
    const read = (name: string): string => readFileSync(join(out(), name), 'utf8');
    for (const name of ['alarms.jsonl', 'findings.jsonl']) {
      for (const line of read(name).trimEnd().split('\n')) expect(JSON.parse(line)).toHaveProperty('conveyor', 'enamel');
    }
    const [header, ...rows] = read('settled.csv').trimEnd().split('\n');
    // contracts §4
    expect(header).toBe(
      'date,conveyor,takeup,position_mm,skew_mm,breathing_mm,thermal_mm,elastic_mm,pitches,elongation_pct,wear_per_joint_mm,spring_left_mm,spring_right_mm,strand_tension_n',
    );
    for (const row of rows) expect(row.split(',')).toHaveLength(14);
    expect(read('rejects.csv')).toBe('line,reason\n');
    const summary = JSON.parse(read('summary.json')) as { takeups: Record<string, unknown>[] };
    expect(Object.keys(summary)).toEqual(['site', 'recording', 'takeups']);
    expect(Object.keys(summary.takeups[0]!)).toEqual(
      expect.arrayContaining([
        'conveyor',
        'takeup',
        'asOf',
        'positionMm',
        'remainingMm',
        'skewMm',
        'breathingMm',
        'chain',
        'spring',
        'trend',
      ]),
    );
  });

  it('writes alarms in order of time', async () => {
    await replay('fixtures/replay/lost-and-faulty/site.yaml', 'fixtures/replay/lost-and-faulty/recording.csv', '--out', out());
    const times = readFileSync(join(out(), 'alarms.jsonl'), 'utf8')
      .trimEnd()
      .split('\n')
      .map((line) => Date.parse((JSON.parse(line) as { time: string }).time));
    expect(times.length).toBeGreaterThan(3);
    expect(times).toEqual([...times].sort((a, b) => a - b));
  });
});

describe('a recording that cannot be used', () => {
  const refused = readdirSync('fixtures/recordings/refused').map((name) => join('fixtures/recordings/refused', name));

  test.each(refused)('%s ends the replay with one plain line, and nothing is written', async (path) => {
    const { code, out: said, err } = await replay(SITE, path, '--out', out());
    expect({ code, said }).toEqual({ code: 1, said: [] });
    expect(err).toHaveLength(1);
    expect(err[0]).toContain(path);
    expect(err[0]).not.toMatch(/\n|\bat .*:\d+:\d+/u);
    expect(existsSync(out())).toBe(false);
  });

  it('that is not there is said so', async () => {
    const { code, err } = await replay(SITE, join(folder, 'gone.csv'), '--out', out());
    expect(code).toBe(1);
    expect(err).toEqual([expect.stringContaining('there is no such file')]);
    expect(existsSync(out())).toBe(false);
  });
});

describe('a site that cannot be used', () => {
  it('has all of its faults listed, and nothing is written', async () => {
    const path = file('bad.yaml', readFileSync(SITE, 'utf8').replace('pitch_mm', 'pich_mm').replace('stroke_mm: 230', 'stroke_mm: -1'));
    const { code, err } = await replay(path, RECORDING, '--out', out());
    expect(code).toBe(1);
    expect(err.filter((line) => line.startsWith(`${path}:`)).length).toBeGreaterThanOrEqual(2);
    expect(existsSync(out())).toBe(false);
  });

  it('that is not there is said so in one line', async () => {
    const { code, err } = await replay(join(folder, 'gone.yaml'), RECORDING, '--out', out());
    expect({ code, err }).toEqual({ code: 1, err: [expect.stringContaining('gone.yaml')] });
  });
});

describe('service entries that cannot be used', () => {
  const line = (fields: Readonly<Record<string, unknown>>): string =>
    JSON.stringify({ time: '2026-03-02T12:00:00Z', conveyor: 'enamel', ...fields });

  // contracts §2: a line that is not JSON, names what does not exist, or has an unknown kind stops the replay, with file and line.
  test.each([
    ['no JSON', '{"time":'],
    ['no object', '[1, 2]'],
    ['an unknown kind', line({ kind: 'chain-removd', pitches: 2 })],
    ['an unknown conveyor', line({ conveyor: 'paint', kind: 'chain-removed', pitches: 2 })],
    ['an unknown take-up', line({ takeup: 'tu9', kind: 'nut-turned', side: 'left', turns: 1 })],
    ['an unknown entry to correct', line({ kind: 'correction', replaces: 'nobody', pitches: 2 })],
    ['a count that is none', line({ kind: 'chain-removed', pitches: 1.5 })],
    ['a time without an offset', line({ time: '2026-03-02T12:00:00', kind: 'lubricated' })],
  ])('%s: the line is named, and nothing is written', async (_, bad) => {
    const path = file('bad.jsonl', `${line({ kind: 'lubricated' })}\n\n${bad}\n`);
    const { code, err } = await replay(SITE, RECORDING, '--service', path, '--out', out());
    expect({ code, lines: err.length }).toEqual({ code: 1, lines: 1 });
    expect(err[0]).toContain(`${path}:3:`);
    expect(existsSync(out())).toBe(false);
  });

  it('that are not there are said so', async () => {
    const { code, err } = await replay(SITE, RECORDING, '--service', join(folder, 'gone.jsonl'), '--out', out());
    expect({ code, err }).toEqual({ code: 1, err: [expect.stringContaining('gone.jsonl')] });
  });
});

describe('the order of lines of service entries', () => {
  it('does not matter', async () => {
    const lines = readFileSync(SERVICE, 'utf8').trimEnd().split('\n');
    await replay(SITE, RECORDING, '--service', SERVICE, '--out', join(out(), 'a'));
    await replay(SITE, RECORDING, '--service', file('turned.jsonl', `${lines.toReversed().join('\n')}\n`), '--out', join(out(), 'b'));
    for (const name of REPLAY_FILES)
      expect(readFileSync(join(out(), 'b', name), 'utf8')).toBe(readFileSync(join(out(), 'a', name), 'utf8'));
  });

  it('does not matter, with a correction that names no conveyor', async () => {
    const entry = JSON.parse(readFileSync(SERVICE, 'utf8').split('\n')[1]!) as Record<string, unknown>;
    expect(entry).toHaveProperty('replaces', 'cut');
    delete entry['conveyor'];
    const path = file('bare.jsonl', `${JSON.stringify(entry)}\n${readFileSync(SERVICE, 'utf8').split('\n')[0]!}\n`);
    await replay(SITE, RECORDING, '--service', SERVICE, '--out', join(out(), 'a'));
    await replay(SITE, RECORDING, '--service', path, '--out', join(out(), 'b'));
    expect(readFileSync(join(out(), 'b', 'settled.csv'), 'utf8')).toBe(readFileSync(join(out(), 'a', 'settled.csv'), 'utf8'));
  });
});

describe('a folder that cannot be written', () => {
  it('is said so in one line', async () => {
    const { code, err } = await replay(SITE, RECORDING, '--out', join(SITE, 'below-a-file'));
    expect({ code, lines: err.length }).toEqual({ code: 1, lines: 1 });
    expect(err[0]).toContain('--out');
  });
});

describe('wrong usage', () => {
  test.each([[[]], [['site.yaml']], [['a.yaml', 'b.csv', 'c.csv']], [['--colour', 'a.yaml', 'b.csv']], [['a.yaml', 'b.csv', '--out']]])(
    '%j ends with 2',
    async (args) => {
      const { code, out: said, err } = await replay(...args);
      expect({ code, said }).toEqual({ code: 2, said: [] });
      expect(err).toHaveLength(1);
      expect(err[0]).toContain('see takeline replay --help');
    },
  );

  it('is not needed: the command explains itself', async () => {
    const { code, out: said } = await replay('--help');
    expect(code).toBe(0);
    expect(said.join('\n')).toBe(replayCommand.usage);
  });
});

describe('without --out', () => {
  it('the folder is named after the recording and lies where one stands', async () => {
    const name = 'takeline-replay-command-test.csv';
    copyFileSync(RECORDING, join(folder, name));
    const made = `${name}.replay`;
    try {
      expect((await replay(SITE, join(folder, name))).code).toBe(0);
      expect(readdirSync(made)).toHaveLength(REPLAY_FILES.length);
    } finally {
      rmSync(made, { recursive: true, force: true });
    }
  });
});
