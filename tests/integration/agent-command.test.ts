import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { runCommand } from '../../agent/commands/run-command.js';
import { COMMANDS } from '../../agent/commands/table.js';
import { inTopic } from '../../agent/contract/topics.js';
import { openSqliteReader } from '../../agent/store/sqlite-reader.js';
import { STORE_FILE } from '../../agent/store/sqlite-file.js';
import { openSqliteWriter } from '../../agent/store/sqlite-writer.js';
import { event } from '../store/samples.js';
import { spoilPage } from '../store/spoil.js';
import { agentFolder, Ear, startAgent, HandClock, until } from './agent-plant.js';
import { SITE_ID, SITE_TEXT } from './agent-site.js';
import { startBroker } from './broker-client.js';
import { type Mosquitto, startMosquitto } from './mosquitto.js';
import { buildCommand, TakelineProcess } from './takeline-process.js';

const LEFT = 'enamel/tu1/left/position';
/** Nobody listens there: port 1 is reserved and takes a superuser. */
const NOBODY = 'mqtt://127.0.0.1:1';

let mosquitto: Mosquitto;
beforeAll(async () => {
  [mosquitto] = await Promise.all([startMosquitto(['set_tcp_nodelay true']), buildCommand()]);
});
afterAll(() => mosquitto.stop());

/** Runs the command in this process to its end. */
async function run(
  args: readonly string[],
): Promise<{ readonly code: number; readonly out: readonly string[]; readonly err: readonly string[] }> {
  const out: string[] = [];
  const err: string[] = [];
  const io = { out: (line: string) => void out.push(line), err: (line: string) => void err.push(line) };
  return { code: await runCommand(COMMANDS, ['agent', ...args], io), out, err };
}

/** A data folder with a site file in it, and the command line that goes with them. */
function place(url: string, text: string = SITE_TEXT): { readonly dataDir: string; readonly args: readonly string[] } {
  const dataDir = agentFolder();
  const site = join(dataDir, 'site.yaml');
  writeFileSync(site, text);
  return { dataDir, args: ['--site', site, '--data', dataDir, '--broker', url] };
}

describe('takeline agent', () => {
  it('takes what mosquitto_pub publishes, and ends on SIGTERM within two seconds, its state saved and its farewell said', async () => {
    const ear = await Ear.afresh(mosquitto.url);
    const { dataDir, args } = place(mosquitto.url);
    const running = new TakelineProcess(['agent', ...args]);
    await running.says(`agent of Alder Point Cookware: 2 conveyors, broker ${mosquitto.url}; stop with Ctrl-C`);
    const nowMs = Date.now();
    const readings = Array.from({ length: 9 }, (_, second) => JSON.stringify({ value: 70, time: nowMs - 9000 + second * 1000 }));
    for (const signal of [LEFT, 'enamel/tu1/right/position']) {
      const to = ['-h', '127.0.0.1', '-p', String(mosquitto.port), '-q', '1', '-t', inTopic(SITE_ID, signal), '-l'];
      execFileSync(mosquitto.publisher, to, { input: `${readings.join('\n')}\n` });
    }
    await until(() => expect(ear.now('enamel', 'tu1')).toMatchObject({ positionMm: 70, left: { readingMm: 70 } }));

    const { code, tookMs } = await running.end('SIGTERM');
    expect({ code, err: running.err }).toEqual({ code: 0, err: '' });
    expect(tookMs).toBeLessThan(2000);
    await until(() => expect(ear.status('agent')).toMatchObject({ running: false, readings: 18, rejected: {} }));
    const store = await openSqliteWriter({ dataDir, signals: [LEFT] });
    // That it began to listen is journalled as well.
    expect(store.lastSeq).toBe(18 + 1);
    expect((await store.loadCheckpoint())?.seq).toBe(18 + 1);
    await store.stop();
  });

  it('signs in with the password that the embedded broker made, names a topic that is closed to it, and ends on Ctrl-C', async () => {
    const broker = await startBroker({ scope: { siteId: SITE_ID, signalTopics: [] } });
    const { args } = place(`mqtt://127.0.0.1:${String(broker.tcpPort)}`);
    const running = new TakelineProcess(['agent', ...args, '--data', broker.dataDir]);
    await running.says('stop with Ctrl-C');
    // A broker that was not given the site's own topics keeps them closed: whoever installs it should know.
    await until(() =>
      expect(running.err).toContain('broker: it does not let this user subscribe to plant/enamel/tu2: see its access rules'),
    );
    const { code, tookMs } = await running.end('SIGINT');
    expect(code).toBe(0);
    expect(tookMs).toBeLessThan(2000);
  });

  it('ends as soon when its broker has gone, and what it could not say waits in the store', async () => {
    const passing = await startMosquitto();
    const ear = await Ear.at(passing.url);
    const { dataDir, args } = place(passing.url);
    const running = new TakelineProcess(['agent', ...args]);
    await running.says('stop with Ctrl-C');
    const fromMs = Date.now() - 9000;
    await ear.readBoth('enamel/tu1', fromMs, fromMs + 9000, 225);
    await until(() => expect(ear.now('enamel', 'tu1')?.positionMm).toBe(225));
    await passing.stop();
    await until(() => expect(running.err).toContain('broker: the connection is closed; trying again every two seconds'));
    const { code, tookMs } = await running.end('SIGTERM');
    expect(code).toBe(0);
    expect(tookMs).toBeLessThan(2000);
    expect(running.err.trim().split('\n')).toHaveLength(1);
    const reader = await openSqliteReader({ dataDir });
    let journalled = 0;
    for await (const { count } of reader.readings([LEFT], 0, Infinity)) journalled += count;
    await reader.stop();
    expect(journalled).toBe(9);
  });

  it('has the site at hand at its second start, and reads the file anew where a letter of it is another', async () => {
    const { dataDir, args } = place(mosquitto.url);
    const started = async (name: string): Promise<void> => {
      const running = new TakelineProcess(['agent', ...args]);
      await running.says(`agent of ${name}: 2 conveyors`);
      await until(() => expect(existsSync(join(dataDir, 'site-read.json'))).toBe(true));
      await running.end('SIGTERM');
    };
    await started('Alder Point Cookware');
    // As it would have been read had the file said so: that it comes from there, and not from the file, is then heard.
    const [key, , body] = readFileSync(join(dataDir, 'site-read.json'), 'utf8').split('\n') as [string, string, string];
    const other = body.replace('"Alder Point Cookware"', '"Remembered Cookware"');
    const checksum = createHash('sha256').update(other).digest('hex');
    writeFileSync(join(dataDir, 'site-read.json'), `${key}\n${checksum}\n${other}`);
    await started('Remembered Cookware');
    writeFileSync(join(dataDir, 'site.yaml'), `${SITE_TEXT}\n# read anew\n`);
    await started('Alder Point Cookware');
  });

  it('says in one line which broker cannot be reached, and ends with 1', async () => {
    const { args } = place(NOBODY);
    const running = new TakelineProcess(['agent', ...args]);
    expect(await running.exit()).toBe(1);
    expect(running.err).toMatch(/^the broker at 127\.0\.0\.1:1 cannot be reached \(.*\): start it, or give another with --broker\n$/);
    expect(running.out).toBe('');
  });

  it.each(['127.0.0.1:1883', 'http://127.0.0.1:1883', 'mqtt://', 'the broker'])('takes %s for no address', async (url) => {
    const { code, err } = await run(place(url).args);
    expect(code).toBe(1);
    expect(err).toEqual([`${url} is no broker's address: give one like mqtt://127.0.0.1:1883 (or mqtts://, ws://, wss://)`]);
  });

  it('lists every fault of a wrong site file and ends with 1, before it touches anything', async () => {
    const text = SITE_TEXT.replace('stroke_mm: 230', 'stroke_m: 230').replace('pitch_mm: 76.2', 'pitch_mm: -1');
    const { dataDir, args } = place(mosquitto.url, text);
    const { code, err } = await run(args);
    expect(code).toBe(1);
    expect(err).toContainEqual(expect.stringMatching(/site\.yaml:\d+.*stroke_m\b/));
    expect(err).toContainEqual(expect.stringMatching(/site\.yaml:\d+.*pitch_mm\b/));
    await expect(openSqliteReader({ dataDir })).rejects.toMatchObject({ code: 'store-missing' });
  });

  it('leaves a store to the agent that has it', async () => {
    const { dataDir } = await startAgent({ url: mosquitto.url, clock: new HandClock() });
    const { code, err } = await run([...place(mosquitto.url).args, '--data', dataDir]);
    expect(code).toBe(1);
    expect(err).toEqual([expect.stringContaining(`another agent (process ${String(process.pid)} on `)]);
  });

  it('says so where the password is wrong, and leaves the store free', async () => {
    const broker = await startBroker();
    vi.stubEnv('TAKELINE_BROKER_USER', 'agent');
    vi.stubEnv('TAKELINE_BROKER_PASSWORD', 'guessed');
    const { dataDir, args } = place(`mqtt://127.0.0.1:${String(broker.tcpPort)}`);
    const { code, err } = await run(args);
    expect(code).toBe(1);
    expect(err).toEqual([
      `the broker at 127.0.0.1:${String(broker.tcpPort)} refused the sign-in: check the user and password it was given`,
    ]);
    const store = await openSqliteWriter({ dataDir, signals: [LEFT] });
    // That it began to listen, and nothing else.
    expect(store.lastSeq).toBe(1);
    await store.stop();
  });

  it('takes nothing into a store in which an alarm of long ago is damaged, and says what to do', async () => {
    const ear = await Ear.afresh(mosquitto.url);
    const { dataDir, args } = place(mosquitto.url);
    const store = await openSqliteWriter({ dataDir, signals: [LEFT] });
    await store.writeOutputs({ events: Array.from({ length: 500 }, (_, i) => event({ id: `event-${String(i)}` })) });
    await store.stop();
    spoilPage(join(dataDir, STORE_FILE), 'alarm_event');
    const { code, err } = await run(args);
    expect(code).toBe(1);
    expect(err).toEqual([
      expect.stringMatching(/takeline\.sqlite: the file is damaged \(alarm_event: .*\); stop the agent and put a good copy/),
    ]);
    expect(ear.status('agent')).toBeUndefined();
  });

  it('wants to know its site', async () => {
    const { code, err } = await run([]);
    expect(code).toBe(2);
    expect(err).toEqual(['takeline agent: --site FILE is needed (see takeline agent --help)']);
  });
});
