import { existsSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, vi } from 'vitest';
import { runCommand } from '../../agent/commands/run-command.js';
import { COMMANDS } from '../../agent/commands/table.js';
import { inTopic } from '../../agent/contract/topics.js';
import { signInOf } from '../../agent/process/secrets.js';
import { dataFolder, gather, signInWith, startBroker } from './broker-client.js';

const SITE_FILE = 'fixtures/sites/good/full.yaml';

interface Running {
  readonly out: string[];
  readonly err: string[];
  readonly ended: Promise<number>;
  stop(): void;
}

function runBroker(...args: string[]): Running {
  const out: string[] = [];
  const err: string[] = [];
  // Ctrl-C for this command alone: the signal is not sent to the process of the tests.
  let interrupt: (() => void) | undefined;
  vi.spyOn(process, 'on').mockImplementation((name, listener) => {
    if (name === 'SIGINT') interrupt ??= () => (listener as (signal: NodeJS.Signals) => void)('SIGINT');
    return process;
  });
  const io = { out: (line: string) => out.push(line), err: (line: string) => err.push(line) };
  return { out, err, ended: runCommand(COMMANDS, ['broker', ...args], io), stop: () => interrupt?.() };
}

const ANY_PORT = ['--port', '0', '--ws-port', '0'];

describe('takeline broker', () => {
  it('says where it listens and where the passwords are, carries messages, and ends with Ctrl-C', async () => {
    const dataDir = dataFolder();
    const running = runBroker('--data', dataDir, ...ANY_PORT);
    await vi.waitFor(() => expect(running.out).toHaveLength(2), { timeout: 10_000 });
    expect(running.out[1]).toBe(`passwords: ${join(dataDir, 'secrets', 'sensor.txt')} and its neighbours; stop with Ctrl-C`);
    const [, url = ''] = /^broker of every site: (mqtt:\/\/127\.0\.0\.1:\d+) and ws:\/\/127\.0\.0\.1:\d+$/.exec(running.out[0]!) ?? [];
    const agent = await signInWith(url, { ...(await signInOf(dataDir, 'agent')) });
    const received = gather(agent);
    await agent.subscribeAsync('takeline/+/in/#', { qos: 1 });
    const sensor = await signInWith(url, { ...(await signInOf(dataDir, 'sensor')) });
    await sensor.publishAsync(inTopic('alder-point', 'enamel/running'), '1', { qos: 1 });
    expect(await received.first(1)).toEqual(['1']);
    running.stop();
    expect(await running.ended).toBe(0);
  });

  it('opens only the topics of the site it is given', async () => {
    const dataDir = dataFolder();
    const running = runBroker('--data', dataDir, '--site', SITE_FILE, ...ANY_PORT);
    await vi.waitFor(() => expect(running.out).toHaveLength(2), { timeout: 10_000 });
    const [, name, url = ''] = /^broker of (.*): (mqtt:\S+) and/.exec(running.out[0]!) ?? [];
    expect(name).not.toBe('every site');
    const agent = await signInWith(url, { ...(await signInOf(dataDir, 'agent')) });
    await expect(agent.subscribeAsync('takeline/+/in/#', { qos: 1 })).rejects.toThrow();
    running.stop();
    expect(await running.ended).toBe(0);
  });

  it('ends with 1 and a line where the port is taken', async () => {
    const { tcpPort } = await startBroker();
    const running = runBroker('--data', dataFolder(), '--port', String(tcpPort), '--ws-port', '0');
    expect(await running.ended).toBe(1);
    expect(running.err).toEqual([expect.stringMatching(/port \d+: the port is in use\. Stop what uses it or choose another port\.$/)]);
  });

  it('ends with 1 and the faults where the site file is not in order', async () => {
    const dataDir = dataFolder();
    const site = join(dataDir, 'site.yaml');
    writeFileSync(site, 'site: {}\n');
    const running = runBroker('--data', dataDir, '--site', site, ...ANY_PORT);
    expect(await running.ended).toBe(1);
    expect(running.err.length).toBeGreaterThan(0);
    expect(existsSync(join(dataDir, 'credentials.json'))).toBe(false);
  });

  it.each([['--port', 'many'], ['--no-such-option'], ['FILE']])('ends with 2 on wrong usage: %s', async (...args) => {
    const running = runBroker(...args);
    expect(await running.ended).toBe(2);
    expect(running.err).toHaveLength(1);
  });

  it('explains itself', async () => {
    const running = runBroker('--help');
    expect(await running.ended).toBe(0);
    expect(running.out[0]).toMatch(/^takeline broker /);
  });
});
