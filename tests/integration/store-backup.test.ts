import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, statSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';
import { afterAll, beforeAll, describe, expect, it, onTestFinished, vi } from 'vitest';
import { runCommand } from '../../agent/commands/run-command.js';
import { COMMANDS } from '../../agent/commands/table.js';
import { openSqliteReader } from '../../agent/store/sqlite-reader.js';
import { openSqliteWriter } from '../../agent/store/sqlite-writer.js';

const SIGNALS = ['enamel/running', 'enamel/tu1/left/position'];
const built = join(import.meta.dirname, '../../.cache/store-backup');

async function said(command: string, ...args: string[]): Promise<{ code: number; out: string; err: string }> {
  const [out, err]: [string[], string[]] = [[], []];
  const code = await runCommand(COMMANDS, [command, ...args], { out: (line) => out.push(line), err: (line) => err.push(line) });
  return { code, out: out.join('\n'), err: err.join('\n') };
}

/** An agent's store that is written to without end, by a process of its own. */
function busyStore(dataDir: string): { readonly acknowledged: () => number } {
  let text = '';
  const child: ChildProcess = spawn(process.execPath, [join(built, 'store-kill-child.js'), dataDir], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  child.stdout?.setEncoding('utf8').on('data', (more: string) => (text = (text + more).slice(-100)));
  onTestFinished(() => void child.kill('SIGKILL'));
  return { acknowledged: () => Number(text.split('\n').at(-2) ?? 0) };
}

describe('a backup', () => {
  const folder = mkdtempSync(join(tmpdir(), 'takeline-backup-'));
  const copy = join(folder, 'copy.sqlite');
  let atLeast = 0;

  beforeAll(async () => {
    mkdirSync(built, { recursive: true });
    const ssr = fileURLToPath(new URL('store-kill-child.ts', import.meta.url));
    await build({ configFile: false, logLevel: 'error', build: { ssr, outDir: built, target: 'node20' } });
  });
  afterAll(() => {
    rmSync(folder, { recursive: true });
  });

  it('is made while the agent journals, and has all that was acknowledged when it began', async () => {
    const dataDir = join(folder, 'busy');
    const busy = busyStore(dataDir);
    await vi.waitFor(() => expect(busy.acknowledged()).toBeGreaterThan(60_000), { timeout: 60_000, interval: 20 });
    atLeast = busy.acknowledged();
    expect(await said('backup', '--data', dataDir, '--out', copy)).toMatchObject({ code: 0, err: '' });
    await vi.waitFor(() => expect(busy.acknowledged()).toBeGreaterThan(atLeast + 5000), { timeout: 30_000, interval: 20 });
  });

  it('goes into an empty folder, and an agent goes on from there', async () => {
    const dataDir = join(folder, 'new');
    expect(await said('restore', copy, '--data', dataDir)).toMatchObject({ code: 0, err: '' });
    const writer = await openSqliteWriter({ dataDir, signals: SIGNALS });
    expect(writer.lastSeq).toBeGreaterThanOrEqual(atLeast);
    const values = new Set<number>();
    for await (const { count, value } of (await openSqliteReader({ dataDir })).readings(SIGNALS, 0, Number.MAX_SAFE_INTEGER))
      for (const one of value.subarray(0, count)) values.add(one);
    for await (const item of writer.readJournal(0)) if (item.kind === 'operator') values.add(Number(item.action['seq']));
    expect(values.size).toBe(writer.lastSeq);
    await writer.stop();
  });

  it('is not put over a history that is there, and says what to do', async () => {
    const dataDir = join(folder, 'new');
    const before = statSync(join(dataDir, 'takeline.sqlite')).mtimeMs;
    const { code, err } = await said('restore', copy, '--data', dataDir);
    expect({ code, err }).toEqual({ code: 1, err: expect.stringMatching(/exists and is left alone/) as string });
    expect(statSync(join(dataDir, 'takeline.sqlite')).mtimeMs).toBe(before);
    expect((await said('backup', '--data', dataDir, '--out', copy)).err).toMatch(/exists and is left alone/);
  });

  it.each([
    { what: 'cut short', spoil: (path: string) => truncateSync(path, Math.floor(statSync(path).size / 2)) },
    { what: 'no store', spoil: (path: string) => writeFileSync(path, 'time,signal,value\n') },
    {
      what: 'overwritten in its middle',
      spoil: (path: string) => {
        const bytes = readFileSync(path);
        bytes.fill(0x5a, bytes.length >> 1, (bytes.length >> 1) + 8192);
        writeFileSync(path, bytes);
      },
    },
  ])('that is $what is refused, and the folder stays as it was', async ({ spoil }) => {
    const [spoilt, dataDir] = [join(folder, 'spoilt.sqlite'), join(folder, 'untouched')];
    writeFileSync(spoilt, readFileSync(copy));
    spoil(spoilt);
    const { code, err } = await said('restore', spoilt, '--data', dataDir);
    expect(code).toBe(1);
    expect(err).toContain('spoilt.sqlite');
    expect(existsSync(join(dataDir, 'takeline.sqlite'))).toBe(false);
  });

  it('of a folder without a history says so', async () => {
    const { code, err } = await said('backup', '--data', join(folder, 'nothing'), '--out', join(folder, 'nothing.sqlite'));
    expect({ code, err }).toEqual({ code: 1, err: expect.stringMatching(/there is no store yet/) as string });
  });
});
