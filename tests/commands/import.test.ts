import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { afterAll, describe, expect, it, test } from 'vitest';
import { runCommand } from '../../agent/commands/run-command.js';
import { COMMANDS } from '../../agent/commands/table.js';

const CASE = 'fixtures/replay/removal-recorded-late';
const SITE = join(CASE, 'site.yaml');
const ROWS = readFileSync(join(CASE, 'recording.csv'), 'utf8')
  .trim()
  .split('\n')
  .slice(1)
  .map((row) => row.replace(/[\d.]+$/, (value) => String(Number(value))));

const folder = mkdtempSync(join(tmpdir(), 'takeline-import-command-'));
afterAll(() => {
  rmSync(folder, { recursive: true });
});

function file(name: string, content: string | Buffer): string {
  writeFileSync(join(folder, name), content);
  return join(folder, name);
}

async function takeline(...args: string[]): Promise<{ code: number; out: string[]; err: string[] }> {
  const out: string[] = [];
  const err: string[] = [];
  const code = await runCommand(COMMANDS, args, { out: (line) => out.push(line), err: (line) => err.push(line) });
  return { code, out, err };
}

const imported = (map: string, source: string) => takeline('import', '--map', map, SITE, source, '--out', join(folder, 'out.csv'));
const result = () => readFileSync(join(folder, 'out.csv'), 'utf8').trim().split('\n').slice(1);

const TAGS = new Map([
  ['enamel/running', 'Drive on'],
  ['enamel/tu1/left/position', 'Pos L'],
  ['enamel/tu1/right/position', 'Pos R'],
]);
const SIGNALS = [...TAGS].map(([signal, from]) => `  - { from: "${from}", signal: ${signal} }`).join('\n');
const LONG_MAP = file(
  'long.yaml',
  `form: long\ndelimiter: ";"\ndecimal: ","\ntime: { columns: [At] }\nlong: { name: Tag, value: Val }\nsignals:\n${SIGNALS}\n`,
);
const inLongForm = (rows: readonly string[]): string =>
  `At;Tag;Val\r\n${rows
    .map((row) => {
      const [time = '', signal = '', value = ''] = row.split(',');
      return `${time};${TAGS.get(signal) ?? signal};${value.replace('.', ',')}\r\n`;
    })
    .join('')}`;

describe('a recording in somebody else’s form', () => {
  it('comes out as our own did, from a row a reading with decimal commas', async () => {
    const { code, out } = await imported(LONG_MAP, file('long.csv', inLongForm(ROWS)));
    expect(code).toBe(0);
    expect(out[0]).toContain(`${ROWS.length} rows, ${ROWS.length} readings, 2026-03-02T05:00:00Z to`);
    expect(out[1]).toBe('not used: none');
    expect([...result()].sort()).toEqual([...ROWS].sort());
  });

  it('is sorted where it stands newest first, and that is said', async () => {
    const { out } = await imported(LONG_MAP, file('backwards.csv.gz', gzipSync(inLongForm([...ROWS].reverse()))));
    const times = result().map((row) => row.split(',')[0] ?? '');
    expect(times).toEqual([...times].sort());
    expect(out.join('\n')).toMatch(/\d+ readings stood out of order and were sorted/);
  });

  it('may have a column a signal, date and time apart on the site’s clock, and lines before its header', async () => {
    const map = file(
      'wide.yaml',
      'skip_lines: 2\nencoding: latin1\ndelimiter: tab\ntime: { columns: [Datum, Zeit], format: DD.MM.YYYY HH:mm, zone: Europe/Oslo }\nmissing: ["---"]\n' +
        'signals:\n  - { from: Länge L, signal: enamel/tu1/left/position }\n  - { from: Länge R, signal: enamel/tu1/right/position }\n',
    );
    const text =
      'Export\n\nDatum\tZeit\tLänge L\tLänge R\n25.10.2026\t01:59\t40.1\t40.2\n25.10.2026\t02:30\t40.3\t---\n25.10.2026\t02:00\t40.5\t40.6\n25.10.2026\t03:00\t\tx\n';
    const { code, out } = await imported(map, file('wide.txt', Buffer.from(text, 'latin1')));
    expect(code).toBe(0);
    expect(result().map((row) => row.replace('enamel/tu1/', ''))).toEqual([
      '2026-10-24T23:59:00Z,left/position,40.1',
      '2026-10-24T23:59:00Z,right/position,40.2',
      '2026-10-25T00:30:00Z,left/position,40.3',
      '2026-10-25T01:00:00Z,left/position,40.5',
      '2026-10-25T01:00:00Z,right/position,40.6',
      '2026-10-25T02:00:00Z,right/position,NaN',
    ]);
    expect(out).toContain('2 fields held no reading');
    expect(out.join('\n')).toContain('2 rows have a local time that comes twice');
    expect(out).toContain('not used: 1 unparsable');
    const replayed = await takeline('replay', SITE, join(folder, 'wide.txt'), '--map', map, '--out', join(folder, 'wide-replay'));
    expect(replayed.out).toContain('2 fields held no reading');
    expect(replayed.out.join('\n')).toContain('2 rows have a local time that comes twice');
  });

  it('may be a captured session, which the site’s signals decode', async () => {
    const lines = [
      { time: '2026-03-02T05:00:00Z', topic: 'takeline/alder-point/in/enamel/tu1/left/position', payload: '40.5' },
      {
        time: '2026-03-02T05:00:01Z',
        topic: 'takeline/alder-point/in/enamel/tu1/right/position',
        payload: { value: 41, time: '2026-03-02T05:00:00.5Z' },
      },
      { time: '2026-03-02T05:00:02Z', topic: 'somebody/else', payload: '1' },
    ].map((message) => JSON.stringify(message));
    const { out } = await imported(file('mqtt.yaml', 'form: mqtt\n'), file('session.jsonl', `${lines.join('\n')}\nno json\n`));
    expect(result()).toEqual([
      '2026-03-02T05:00:00Z,enamel/tu1/left/position,40.5',
      '2026-03-02T05:00:00.500Z,enamel/tu1/right/position,41',
    ]);
    expect(out[1]).toBe('not used: 1 unknown-signal, 1 unparsable');
  });

  it('is replayed as it stands with --map, to the same result', async () => {
    const source = file('replayed.csv', inLongForm(ROWS));
    const service = join(CASE, 'service.jsonl');
    const { code } = await takeline('replay', SITE, source, '--map', LONG_MAP, '--service', service, '--out', join(folder, 'replay'));
    expect(code).toBe(0);
    for (const name of ['alarms.jsonl', 'settled.csv', 'findings.jsonl', 'summary.json']) {
      expect(readFileSync(join(folder, 'replay', name), 'utf8'), name).toBe(readFileSync(join(CASE, 'expected', name), 'utf8'));
    }
  });
});

describe('a file that cannot be imported', () => {
  const long = Buffer.from(inLongForm(ROWS));
  test.each([
    ['binary', readFileSync('fixtures/recordings/refused/not-parquet.parquet'), 'no column'],
    ['zeros', Buffer.alloc(3_000_000), 'this is no text in lines'],
    ['one endless line', Buffer.alloc(3_000_000, 'x'), 'this is no text in lines'],
    ['empty', Buffer.alloc(0), 'the file is empty'],
    ['header alone', Buffer.from('At;Tag;Val\n'), 'no rows'],
    ['another table', Buffer.from('Zeit;Tag;Val\n1;2;3\n'), 'there is no column At; its header has: Zeit, Tag, Val'],
    ['cut short', gzipSync(long).subarray(0, 500), 'ends too early'],
  ])('%s: a sentence, and nothing is written', async (name, content, words) => {
    rmSync(join(folder, 'out.csv'), { force: true });
    const { code, err } = await imported(LONG_MAP, file(`${name}.csv`, content));
    expect([code, err.length, err[0]]).toEqual([1, 1, expect.stringContaining(words)]);
    expect(existsSync(join(folder, 'out.csv'))).toBe(false);
  });

  test.each([
    [[SITE, 'a.csv'], '--map MAP and --out RECORDING are needed'],
    [[SITE], 'a file to import are needed'],
  ])('wrong usage %j ends with 2', async (args, words) => {
    const { code, err } = await takeline('import', ...args);
    expect([code, err]).toEqual([2, [expect.stringContaining(words)]]);
  });
});
