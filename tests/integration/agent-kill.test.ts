import { randomInt, randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { AnswerMessage } from '../../agent/contract/messages.js';
import { answerTopic, requestTopic } from '../../agent/contract/topics.js';
import type { AlarmState } from '../../agent/flow/alarm-key.js';
import type { AlarmEvent } from '../../agent/store/history.js';
import { openSqliteReader } from '../../agent/store/sqlite-reader.js';
import { formatTime } from '../../agent/units/time.js';
import { Ear } from './agent-plant.js';
import { SITE_ID, SITE_TEXT } from './agent-site.js';
import { KilledAgent, patiently, stand } from './killed-agent.js';
import { type Mosquitto, startMosquitto } from './mosquitto.js';
import { buildCommand } from './takeline-process.js';

const ROUNDS = 6;
const TAKEUP = 'enamel/tu1';
const STROKE_END = { conveyor: 'enamel', takeup: 'tu1', alarm: 'stroke-end' } as const;
/** The first take-up of the site, its alarm without a delay, so that a moment near the stop is enough. */
const SITE = SITE_TEXT.replace('stroke_mm: 230', 'stroke_mm: 230\n        limits: { stroke-end: { on_delay_s: 0 } }');

let mosquitto: Mosquitto;
beforeAll(async () => {
  [mosquitto] = await Promise.all([startMosquitto(['set_tcp_nodelay true']), buildCommand()]);
});
afterAll(() => mosquitto.stop());

/** Asks the agent, whether it is there now or not: the broker keeps what it was asked until it is. */
async function ask(ear: Ear, verb: string, body: Readonly<Record<string, unknown>>): Promise<AnswerMessage> {
  const request = randomUUID();
  await ear.client.publishAsync(requestTopic(SITE_ID, verb), JSON.stringify({ request, by: 'Kari', ...STROKE_END, ...body }), { qos: 1 });
  await patiently(() => expect(ear.on(answerTopic(SITE_ID, request)), verb).not.toEqual([]));
  return ear.on(answerTopic(SITE_ID, request)).at(-1) as AnswerMessage;
}

/** Every transition of `stroke-end`, from the first on. */
async function transitionsOf({ dataDir }: KilledAgent): Promise<readonly AlarmEvent[]> {
  const reader = await openSqliteReader({ dataDir });
  const { events } = await reader.alarmEvents({ takeup: 'tu1', alarms: ['stroke-end'], limit: 1000 });
  await reader.stop();
  return events.toReversed();
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
    const agent = new KilledAgent(mosquitto.url, SITE);
    const confirmed: string[] = [];
    for (let round = 0; round < ROUNDS; round++) {
      await agent.start();
      const positionMm = round % 2 === 0 ? 225 : 100;
      await stand(ear, TAKEUP, positionMm);
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
      const moving = round % 2 === 0 ? Promise.resolve() : stand(ear, TAKEUP, positionMm);
      await new Promise((resolve) => setTimeout(resolve, randomInt(30)));
      await agent.kill();
      await agent.start();
      // What was under way the broker delivers again: all of it is answered.
      await Promise.all([...answers, moving]);
      await agent.kill();
    }
    await agent.start();
    const events = await transitionsOf(agent);
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
    const agent = new KilledAgent(mosquitto.url, SITE);
    await agent.start();
    await stand(ear, TAKEUP, 225);
    await patiently(() => expect(ear.alarm('enamel', 'tu1', 'stroke-end')?.state).toBe('unacknowledged'));
    expect(await ask(ear, 'acknowledge', {})).toMatchObject({ ok: true });
    await agent.kill();
    await agent.start();
    await stand(ear, TAKEUP, 225);
    expect((await transitionsOf(agent)).map(({ change }) => change)).toEqual(['raised', 'acknowledged']);
    await patiently(() => expect(ear.now('enamel', 'tu1')?.alarms).toContainEqual(expect.objectContaining({ state: 'acknowledged' })));

    const untilMs = Date.now() + 5000;
    const shelf = { until: formatTime(untilMs), why: 'chain is taken out on Saturday' };
    expect(await ask(ear, 'shelve', shelf)).toMatchObject({ ok: true, message: 'shelved' });
    await agent.kill();
    // Its time is up while nobody runs: it comes back at that time all the same, and once.
    await new Promise((resolve) => setTimeout(resolve, Math.max(0, untilMs - Date.now())));
    await agent.start();
    await stand(ear, TAKEUP, 225);
    await agent.kill();
    await agent.start();
    const events = await transitionsOf(agent);
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
