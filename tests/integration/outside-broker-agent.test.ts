import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import { openSqliteWriter } from '../../agent/store/sqlite-writer.js';
import { signalsOf } from '../../agent/site/site.js';
import { faultsOn } from '../contract/asyncapi-schemas.js';
import { agentFolder, Ear, HandClock, startAgent, type TestAgent, until } from './agent-plant.js';
import { agentSite, BEGIN_MS, SITE_TEXT } from './agent-site.js';
import { keptSessions, type Mosquitto, startMosquitto } from './mosquitto.js';
import { buildCommand, TakelineProcess } from './takeline-process.js';

const LEFT = 'enamel/tu1/left/position';
const SECOND = 1000;
/** Readings published while an agent is killed and started. */
const TOTAL = 400;
const NO_DELAY = 'set_tcp_nodelay true';

beforeAll(buildCommand);

/** A Mosquitto that goes with the test. */
async function broker(settings: readonly string[] = [], port?: number): Promise<Mosquitto> {
  const mosquitto = await startMosquitto([NO_DELAY, ...settings], port);
  onTestFinished(() => mosquitto.stop());
  return mosquitto;
}

/** The times of a signal's readings, as the journal of a stopped agent has them, in its order. */
async function journal(dataDir: string, signal: string): Promise<readonly number[]> {
  const signals = signalsOf(agentSite()).map(({ name }) => name);
  const store = await openSqliteWriter({ dataDir, signals });
  const times: number[] = [];
  for await (const item of store.readJournal(0)) {
    if (item.kind !== 'readings') continue;
    const { count, timeMs, signal: of } = item.columns;
    for (let i = 0; i < count; i++) if (of[i] === signals.indexOf(signal)) times.push(timeMs[i]!);
  }
  await store.stop();
  return times;
}

/** Times of readings, one a second from the beginning. */
const seconds = (from: number, to: number): readonly number[] =>
  Array.from({ length: to - from }, (_, i) => BEGIN_MS + (from + i) * SECOND);

async function readSeconds(ear: Ear, from: number, to: number): Promise<void> {
  await Promise.all(seconds(from, to).map((timeMs) => ear.read(LEFT, timeMs, 60)));
}

describe('an agent whose broker goes and comes back', () => {
  it('says so, connects again, gets what was published meanwhile, and has nothing twice', async () => {
    const kept = keptSessions();
    const first = await broker(kept);
    const ear = await Ear.at(first.url);
    const { agent, id, said, dataDir } = await startAgent({ url: first.url, clock: new HandClock() });
    await readSeconds(ear, 0, 10);
    await until(() => expect(agent.readingCount).toBe(10));

    await first.stop();
    await until(() => expect(said).toEqual([expect.stringMatching(/^broker: .*; trying again every two seconds$/)]));
    await broker(kept, first.port);
    // The publisher is back at once; the agent takes up to two seconds, and its session keeps what comes in between.
    await readSeconds(ear, 10, 20);
    // What it had not acknowledged when the broker went comes again, and is known.
    await until(() => expect(agent.readingCount).toBeGreaterThanOrEqual(20));
    expect(said.slice(1)).toEqual(['broker: connected again']);
    await until(() => expect(ear.status(id)).toMatchObject({ running: true, readings: expect.any(Number) as number }));
    await agent.stop();
    expect(await journal(dataDir, LEFT)).toEqual(seconds(0, 20));
  });

  it('drops what a broker sends again that was not told, or does not remember, that it is journalled', async () => {
    const kept = keptSessions();
    const first = await broker(kept);
    const ear = await Ear.at(first.url);
    const { agent: earlier, id, dataDir } = await startAgent({ url: first.url, clock: new HandClock() });
    await earlier.stop();
    await readSeconds(ear, 0, 15);
    first.save();
    const { agent } = await startAgent({ url: first.url, clock: new HandClock(), id, dataDir });
    await until(() => expect(agent.readingCount).toBe(15));
    // It crashes with the session on its disk as it was before anything was acknowledged.
    await first.kill();
    await broker(kept, first.port);
    await until(() => expect(agent.readingCount).toBe(30));
    await readSeconds(ear, 15, 20);
    await until(() => expect(agent.readingCount).toBe(35));
    await agent.stop();
    await until(() => expect(ear.status(id)).toMatchObject({ running: false, rejected: { duplicate: 15 } }));
    expect(await journal(dataDir, LEFT)).toEqual(seconds(0, 20));
  });

  it('drops them after a restart of its own as well', async () => {
    const kept = keptSessions();
    const first = await broker(kept);
    const ear = await Ear.at(first.url);
    const again = (from: Partial<TestAgent>): Promise<TestAgent> =>
      startAgent({
        url: first.url,
        clock: new HandClock(),
        ...(from.id ? { id: from.id } : {}),
        ...(from.dataDir ? { dataDir: from.dataDir } : {}),
      });
    const made = await again({});
    await made.agent.stop();
    await readSeconds(ear, 0, 15);
    first.save();
    const { agent } = await again(made);
    await until(() => expect(agent.readingCount).toBe(15));
    await first.kill();
    await agent.stop();
    await broker(kept, first.port);
    const { agent: later } = await again(made);
    await until(() => expect(later.readingCount).toBe(15));
    await later.stop();
    expect(await journal(made.dataDir, LEFT)).toEqual(seconds(0, 15));
  });

  it('subscribes anew at a broker that has forgotten it, and tells it everything', async () => {
    const first = await broker();
    const ear = await Ear.at(first.url);
    const { agent, id } = await startAgent({ url: first.url, clock: new HandClock() });
    await ear.readBoth('enamel/tu1', BEGIN_MS, BEGIN_MS + 15 * SECOND, 225);
    await until(() => expect(ear.alarm('enamel', 'tu1', 'stroke-end')).toBeDefined());
    await first.kill();
    const second = await broker([], first.port);
    const later = await Ear.at(second.url);
    await until(() => expect(later.alarm('enamel', 'tu1', 'stroke-end')?.state).toBe('unacknowledged'));
    await until(() => expect(later.now('enamel', 'tu1')).toMatchObject({ positionMm: 225 }));
    await until(() => expect(later.status(id)?.running).toBe(true));
    const before = agent.readingCount;
    await later.readBoth('enamel/tu1', BEGIN_MS + 15 * SECOND, BEGIN_MS + 16 * SECOND, 225);
    await until(() => expect(agent.readingCount).toBe(before + 2));
  });
});

/** A `takeline agent` that can be killed and started again on its data folder. */
function killable(url: string): { readonly dataDir: string; readonly start: () => Promise<TakelineProcess> } {
  const dataDir = agentFolder();
  const site = join(dataDir, 'site.yaml');
  writeFileSync(site, SITE_TEXT);
  const start = async (): Promise<TakelineProcess> => {
    const running = new TakelineProcess(['agent', '--site', site, '--data', dataDir, '--broker', url]);
    await running.says('stop with Ctrl-C');
    return running;
  };
  return { dataDir, start };
}

describe('an agent that is killed', () => {
  it('while readings come in by the hundred a second has journalled all that it acknowledged, once', async () => {
    const mosquitto = await broker(['max_queued_messages 0']);
    const ear = await Ear.at(mosquitto.url);
    const { dataDir, start } = killable(mosquitto.url);
    let running = await start();
    let published = 0;
    const fromMs = Date.now() - 10 * SECOND;
    const sent: Promise<void>[] = [];
    const publishing = setInterval(() => {
      // Three hundred a second, ten milliseconds apart by their own time.
      for (let i = 0; i < 6 && published < TOTAL; i++) sent.push(ear.read(LEFT, fromMs + published++ * 10, 60));
    }, 20);
    onTestFinished(() => {
      clearInterval(publishing);
    });
    for (const many of [TOTAL / 4, TOTAL / 2]) {
      await until(() => expect(published).toBeGreaterThan(many));
      await running.kill();
      running = await start();
    }
    await until(() => expect(published).toBe(TOTAL));
    await Promise.all(sent);
    // What the broker was told is journalled it has let go of; all else it sends again. So nothing may be missing and nothing there
    // twice. A request goes through the same session, behind the readings.
    await ear.ask('no-such-verb', {});
    expect(await running.end('SIGTERM')).toMatchObject({ code: 0 });
    expect(await journal(dataDir, LEFT)).toEqual(Array.from({ length: TOTAL }, (_, i) => fromMs + i * 10));
  });

  it('still has its alarms, what was acknowledged and what was entered, and tells nothing twice', async () => {
    const mosquitto = await broker();
    const ear = await Ear.at(mosquitto.url);
    const { start } = killable(mosquitto.url);
    const running = await start();
    const nowMs = Date.now();
    await ear.readBoth('enamel/tu1', nowMs - 10 * SECOND, nowMs + 10 * SECOND, 225);
    await until(() => expect(ear.alarm('enamel', 'tu1', 'stroke-end')).toBeDefined());
    await ear.ask('acknowledge', { conveyor: 'enamel', takeup: 'tu1', alarm: 'stroke-end' });
    const entry = { time: new Date(nowMs - SECOND).toISOString(), conveyor: 'enamel', kind: 'chain-removed', pitches: 40 };
    await ear.ask('service-entry', { entry });
    const { since } = ear.alarm('enamel', 'tu1', 'stroke-end')!;
    await running.kill();
    // The broker publishes the will of a client that goes without farewell.
    await until(() => expect(ear.status('agent')?.running).toBe(false));
    expect(ear.heard.filter(({ topic }) => topic.endsWith('/status')).flatMap(({ topic, payload }) => faultsOn(topic, payload))).toEqual(
      [],
    );

    await start();
    await until(() => expect(ear.status('agent')?.running).toBe(true));
    await until(() => expect(ear.now('enamel', 'tu1')?.alarms).toMatchObject([{ alarm: 'stroke-end', state: 'acknowledged', since }]));
    expect(ear.now('enamel', 'tu1')?.chain.pitches).toBe(3160);
    const events = ear.events().map(({ id, detail }) => [id, detail['change']] as const);
    expect([...new Set(events.map(([, change]) => change))]).toEqual(['raised', 'acknowledged']);
    // Some may be told again, each under the name that makes that harmless.
    expect(new Set(events.map(([id]) => id)).size).toBe(2);
  });
});
