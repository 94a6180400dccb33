import { once } from 'node:events';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer, type AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, onTestFinished } from 'vitest';
import { runCommand } from '../../agent/commands/run-command.js';
import { COMMANDS } from '../../agent/commands/table.js';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'takeline-web-command-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

async function takeline(...args: readonly string[]) {
  const [out, err]: [string[], string[]] = [[], []];
  const code = await runCommand(COMMANDS, ['web', ...args], { out: (line) => out.push(line), err: (line) => err.push(line) });
  return { code, out: out.join('\n'), err: err.join('\n') };
}

describe('takeline web', () => {
  it('says with --help how it is called', async () => {
    const { code, out } = await takeline('--help');
    expect([code, out]).toEqual([0, expect.stringContaining('--port PORT')]);
  });

  it.each([
    [[], '--site FILE is needed'],
    [['--site', 'a.yaml', '--port', 'eighty'], '--port takes a port number from 0 to 65535, not eighty'],
    [['--sight', 'a.yaml'], "Unknown option '--sight'"],
  ])('refuses wrong usage: %j', async (args, words) => {
    const { code, err } = await takeline(...args);
    expect([code, err]).toEqual([2, expect.stringContaining(words)]);
  });

  it('tells every fault of the site file', async () => {
    const site = join(folder, 'site.yaml');
    writeFileSync(site, 'site: { id: alder-point }\n');
    const { code, err } = await takeline('--site', site, '--data', folder);
    expect(code).toBe(1);
    expect(err.split('\n').length).toBeGreaterThan(1);
  });

  it('ends with one line where its port is taken', async () => {
    const other = createServer().listen(0, '127.0.0.1');
    onTestFinished(() => void other.close());
    await once(other, 'listening');
    const { port } = other.address() as AddressInfo;
    const { code, err } = await takeline('--site', 'fixtures/sites/good/minimal.yaml', '--data', folder, '--port', String(port));
    expect([code, err]).toEqual([1, `Port ${port} of 127.0.0.1 is in use: end what uses it, or choose another with --port.`]);
  });
});
