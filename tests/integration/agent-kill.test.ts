import { randomInt, randomUUID } from 'node:crypto';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import type { AnswerMessage } from '../../agent/contract/messages.js';
import { answerTopic, requestTopic } from '../../agent/contract/topics.js';
import type { AlarmState } from '../../agent/flow/alarm-key.js';
import type { AlarmEvent } from '../../agent/store/history.js';
import { openSqliteReader } from '../../agent/store/sqlite-reader.js';
import { formatTime } from '../../agent/units/time.js';
import { agentFolder, Ear } from './agent-plant.js';
import { SITE_ID, SITE_TEXT } from './agent-site.js';
import { type Mosquitto, startMosquitto } from './mosquitto.js';
import { buildCommand, TakelineProcess } from './takeline-process.js';

const ROUNDS = 6;
const STROKE_END = { conveyor: 'enamel', takeup: 'tu1', alarm: 'stroke-end' } as const;
/** The first take-up of the site, its alarm without a delay, so that a moment near the stop is enough. */
const SITE = SITE_TEXT.replace('stroke_mm: 230', 'stroke_mm: 230\n        limits: { stroke-end: { on_delay_s: 0 } }');

let mosquitto: Mosquitto;
beforeAll(async () => {
  [mosquitto] = await Promise.all([startMosquitto(['set_tcp_nodelay true']), buildCommand()]);
});
afterAll(() => mosquitto.stop());

/** Waits as long as a machine with much else to do may take to start a process. */
const patiently = (holds: () => void): Promise<void> => vi.waitFor(holds, { timeout: 60_000, interval: 10 });

/** Asks the agent, whether it is there now or not: the broker keeps what it was asked until it is. */
async function ask(ear: Ear, verb: string, body: Readonly<Record<string, unknown>>): Promise<AnswerMessage> {
  const request = randomUUID();
  await ear.client.publishAsync(requestTopic(SITE_ID, verb), JSON.stringify({ request, by: 'Kari', ...STROKE_END, ...body }), { qos: 1 });
  await patiently(() => expect(ear.on(answerTopic(SITE_ID, request)), verb).not.toEqual([]));
  return ear.on(answerTopic(SITE_ID, request)).at(-1) as AnswerMessage;
}

/** An agent in a process of its own, on one data folder, that is killed and started again. */
class KilledAgent {
  private readonly dataDir = agentFolder();
  private readonly args: readonly string[];
  private running: TakelineProcess | undefined;

  constructor(url: string) {
    const site = join(this.dataDir, 'site.yaml');
    writeFileSync(site, SITE);
    this.args = ['agent', '--site', site, '--data', this.dataDir, '--broker', url];
  }

  async start(): Promise<void> {
    this.running = new TakelineProcess(this.args);
    const { running } = this;
    await patiently(() => expect(running.out, running.err).toContain('stop with Ctrl-C'));
  }

  async kill(): Promise<void> {
    await this.running?.kill();
  }

  /** Every transition of `stroke-end`, from the first on. */
  async transitions(): Promise<readonly AlarmEvent[]> {
    const reader = await openSqliteReader({ dataDir: this.dataDir });
    const { events } = await reader.alarmEvents({ takeup: 'tu1', alarms: ['stroke-end'], limit: 1000 });
    await reader.stop();
    return events.toReversed();
  }
}

/** The carriage stands there for a moment, by the clock on the wall: a reading of both sides every 20 ms. */
async function stand(ear: Ear, positionMm: number): Promise<void> {
  for (let i = 0; i < 12; i++) {
    await Promise.all(['left', 'right'].map((side) => ear.read(`enamel/tu1/${side}/position`, Date.now(), positionMm)));
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}

/** Each transition begins in the state in which the one before it ended: none is lost, none repeated. */
function expectUnbroken(events: readonly AlarmEvent[]): void {
  const said = events.map(({ change, from, to }) => `${change}: ${from} → ${to}`);
  let state: AlarmState = 'normal';
  for (const { from, to } of events) {
    expect(from, said.join('\n')).toBe(state);
    state = to;
  }
  expect(new Set(events.map(({ id }) => id)).size).toBe(events.length);
}

const ACTS: readonly (readonly [verb: string, body: () => Readonly<Record<string, unknown>>, change: string])[] = [
  ['acknowledge', () => ({}), 'acknowledged'],
  ['shelve', () => ({ until: formatTime(Date.now() + 3600_000), why: 'sensor is cleaned' }), 'shelved'],
  ['unshelve', () => ({}), 'unshelved'],
  ['out-of-service', () => ({ why: 'sensor is away' }), 'out-of-service'],
  ['in-service', () => ({}), 'in-service'],
];

describe('an agent that is killed at any moment while alarms come, go and are dealt with', () => {
  it('loses no transition and repeats none, and what it confirmed is done', { timeout: 300_000 }, async () => {
    const ear = await Ear.afresh(mosquitto.url);
    const agent = new KilledAgent(mosquitto.url);
    const confirmed: string[] = [];
    for (let round = 0; round < ROUNDS; round++) {
      await agent.start();
      const positionMm = round % 2 === 0 ? 225 : 100;
      await stand(ear, positionMm);
      const order = ACTS.map((act) => ({ act, at: randomInt(1000) })).sort((a, b) => a.at - b.at);
      const answers: Promise<AnswerMessage>[] = [];
      for (const { act } of order) {
        const [verb, body, change] = act;
        const by = `${verb} ${randomUUID()}`;
        const answer = ask(ear, verb, { by, ...body() });
        answers.push(answer);
        void answer.then(({ ok }) => ok && confirmed.push(`${change} ${by}`));
        if (randomInt(3) > 0) await answer;
      }
      const moving = round % 2 === 0 ? Promise.resolve() : stand(ear, positionMm);
      await new Promise((resolve) => setTimeout(resolve, randomInt(30)));
      await agent.kill();
      await agent.start();
      // What was under way the broker delivers again: all of it is answered.
      await Promise.all([...answers, moving]);
      await agent.kill();
    }
    await agent.start();
    const events = await agent.transitions();
    expectUnbroken(events);
    expect(events.filter(({ change }) => change === 'raised').length).toBeGreaterThan(0);
    expect(confirmed.length).toBeGreaterThan(ROUNDS);
    const done = events.flatMap(({ change, by }) => (by === undefined ? [] : [`${change} ${by}`]));
    expect(done.toSorted()).toEqual(confirmed.toSorted());
    await patiently(() => expect(ear.alarm('enamel', 'tu1', 'stroke-end')?.state).toBe(events.at(-1)?.to));
    await agent.kill();
  });

  it('raises nothing again that was acknowledged, and shelves on', { timeout: 200_000 }, async () => {
    const ear = await Ear.afresh(mosquitto.url);
    const agent = new KilledAgent(mosquitto.url);
    await agent.start();
    await stand(ear, 225);
    await patiently(() => expect(ear.alarm('enamel', 'tu1', 'stroke-end')?.state).toBe('unacknowledged'));
    expect(await ask(ear, 'acknowledge', {})).toMatchObject({ ok: true });
    await agent.kill();
    await agent.start();
    await stand(ear, 225);
    expect((await agent.transitions()).map(({ change }) => change)).toEqual(['raised', 'acknowledged']);
    await patiently(() => expect(ear.now('enamel', 'tu1')?.alarms).toContainEqual(expect.objectContaining({ state: 'acknowledged' })));

    const untilMs = Date.now() + 5000;
    const shelf = { until: formatTime(untilMs), why: 'chain is taken out on Saturday' };
    expect(await ask(ear, 'shelve', shelf)).toMatchObject({ ok: true, message: 'shelved' });
    await agent.kill();
    // Its time is up while nobody runs: it comes back at that time all the same, and once.
    await new Promise((resolve) => setTimeout(resolve, Math.max(0, untilMs - Date.now())));
    await agent.start();
    await stand(ear, 225);
    await agent.kill();
    await agent.start();
    const events = await agent.transitions();
    expectUnbroken(events);
    expect(events.slice(2)).toMatchObject([
      { change: 'shelved', by: 'Kari', why: shelf.why, from: 'acknowledged', to: 'shelved' },
      { change: 'unshelved', timeMs: untilMs, to: 'unacknowledged', why: 'its time was up' },
    ]);
    await patiently(() => expect(ear.alarm('enamel', 'tu1', 'stroke-end')).toMatchObject({ state: 'unacknowledged' }));
    expect(ear.alarm('enamel', 'tu1', 'stroke-end')).not.toHaveProperty('shelved');
    await agent.kill();
  });
});
