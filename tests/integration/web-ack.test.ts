import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { signAckLink, type AckGrant } from '../../agent/process/signed-link.js';
import type { AlarmEvent } from '../../agent/store/history.js';
import { startPlant, type Plant } from '../web/a-plant.js';
import { siteWith } from '../web/a-site.js';
import { alarmMessageOf } from '../web/a-takeup.js';
import { eventsHistory } from '../web/an-alarm-history.js';

const SECRET = Buffer.alloc(32, 7);
const SINCE = '2026-03-02T08:41:00Z';
const GRANT: AckGrant = {
  ...{ conveyor: 'line1', takeup: 'tu1', alarm: 'stroke-end', person: 'marta' },
  ...{ sinceMs: Date.parse(SINCE), expiresMs: Date.now() + 3_600_000 },
};
const MARTA = { id: 'marta', name: 'Marta <Nilsen>' };

let events: readonly AlarmEvent[];
let plant: Plant;
beforeEach(async () => {
  events = [];
  process.env['TAKELINE_LINK_SECRET'] = SECRET.toString('hex');
  plant = await startPlant({ site: { ...siteWith(2), people: [MARTA] }, history: eventsHistory(() => events) });
  await plant.agent.heartbeat();
  await stands('unacknowledged');
});
afterEach(async () => {
  delete process.env['TAKELINE_LINK_SECRET'];
  await plant.stop();
});

const pathOf = (different: Partial<AckGrant> = {}) => `/ack/${signAckLink({ ...GRANT, ...different }, SECRET)}`;
const ask = async (method: string, path: string, headers: Readonly<Record<string, string>> = {}) => {
  const form = method === 'POST' ? { 'content-type': 'application/x-www-form-urlencoded' } : {};
  const response = await fetch(plant.web.url + path, { method, headers: { ...form, ...headers } });
  return { response, status: response.status, text: await response.text() };
};
const button = (text: string) => /<button[^>]*>([^<]*)</.exec(text)?.[1];

/** The agent says how the alarm stands, and the web server has heard it. */
async function stands(
  state: 'unacknowledged' | 'acknowledged' | 'returned-unacknowledged' | 'normal' | 'shelved',
  since = SINCE,
): Promise<void> {
  const shelved = { by: 'ola', why: 'sensor is changed', since, until: '2026-03-02T12:00:00Z' };
  await plant.agent.alarm(alarmMessageOf({ state, since, time: new Date().toISOString(), ...(state === 'shelved' ? { shelved } : {}) }));
  const words = {
    ...{ unacknowledged: 'Nobody has acknowledged it', acknowledged: 'acknowledged already', normal: 'It is over, and was' },
    ...{ 'returned-unacknowledged': 'It is over, and waits', shelved: 'has shelved it' },
  };
  // Seldom enough that looking does not use up the links of a minute.
  await expect
    .poll(async () => (await ask('GET', pathOf({ sinceMs: Date.parse(since) }))).text, { timeout: 10_000, interval: 400 })
    .toContain(words[state]);
}

describe('looking at a link', () => {
  it('tells which alarm, where, since when on the site’s clock, what to do and what to beware of', async () => {
    const { status, text, response } = await ask('GET', pathOf());
    expect(status).toBe(200);
    for (const words of [
      'The carriage is almost at its outer stop.',
      'Enamel furnace line, tu1, column C14, after the drive',
      '2026-03-02 09:41',
      '8.2 mm, limit 11.5 mm'.replaceAll(' mm', '\u00a0mm'),
      'Take out chain at the next stop.',
      'Lock out and tag out',
      'The carriage can move without warning.',
      'Takeline is not a safety device',
    ])
      expect(text).toContain(words);
    expect(button(text)).toBe('Acknowledge, as Marta &lt;Nilsen&gt;');
    expect(text).not.toMatch(/<script|onclick|https?:/);
    expect(response.headers.get('cache-control')).toBe('no-store');
    expect(response.headers.get('referrer-policy')).toBe('no-referrer');
    expect(response.headers.get('content-security-policy')).toContain("default-src 'none'");
    expect(response.headers.getSetCookie()).toEqual([]);
  });

  it('changes nothing, however often a mail scanner does it', async () => {
    for (const method of ['GET', 'HEAD', 'GET', 'OPTIONS', 'PUT', 'DELETE']) await ask(method, pathOf());
    for (const userAgent of ['scanner/1.0', 'preview']) await ask('GET', pathOf(), { 'user-agent': userAgent });
    // A browser or a mail program that fetches what may be opened next.
    for (const purpose of ['prefetch', 'prefetch;prerender'])
      await ask('GET', pathOf(), { purpose: 'prefetch', 'sec-purpose': purpose, 'x-moz': 'prefetch' });
    expect(plant.agent.asked).toEqual([]);
    expect((await ask('GET', pathOf())).text).toContain('Nobody has acknowledged it.');
  });

  it('gives no way into anything else', async () => {
    const { response } = await ask('POST', pathOf());
    expect(response.headers.getSetCookie()).toEqual([]);
    expect((await ask('GET', '/api/alarms')).status).toBe(401);
  });

  it('has its style where the content policy allows it', async () => {
    const { status, response } = await ask('GET', '/ack.css');
    expect([status, response.headers.get('content-type')]).toEqual([200, 'text/css; charset=utf-8']);
  });
});

describe('pressing the button', () => {
  it('acknowledges that one alarm, by that person, and says so', async () => {
    const { status, text } = await ask('POST', pathOf());
    expect(status).toBe(200);
    expect(text).toContain('Acknowledged by Marta &lt;Nilsen&gt;.');
    expect(button(text)).toBeUndefined();
    expect(plant.agent.asked).toMatchObject([
      { verb: 'acknowledge', message: { conveyor: 'line1', takeup: 'tu1', alarm: 'stroke-end', by: 'Marta <Nilsen>' } },
    ]);
  });

  it('works from a phone whose browser names no origin, as no-referrer has it', async () => {
    expect((await ask('POST', pathOf(), { origin: 'null', 'sec-fetch-site': 'same-origin' })).status).toBe(200);
  });

  it('twice at once, and again later, asks for the same thing by the same name', async () => {
    await Promise.all([ask('POST', pathOf()), ask('POST', pathOf())]);
    await ask('POST', pathOf());
    expect(new Set(plant.agent.asked.map(({ message }) => message.request)).size).toBe(1);
  });

  it('says who was quicker, and asks the agent for nothing', async () => {
    await stands('acknowledged');
    const [raised, acknowledged] = [alarmEvent('raised', SINCE), { ...alarmEvent('acknowledged', '2026-03-02T08:45:00Z'), by: 'ola' }];
    events = [raised, acknowledged];
    const { status, text } = await ask('POST', pathOf());
    expect([status, text.includes('It was acknowledged already by ola, 2026-03-02 09:45.')]).toEqual([200, true]);
    expect(plant.agent.asked).toEqual([]);
  });

  it('a link from before does not acknowledge the same alarm when it rises anew', async () => {
    await stands('unacknowledged', '2026-03-02T10:00:00Z');
    const { text } = await ask('POST', pathOf());
    expect(text).toContain('has risen anew since, 2026-03-02 11:00');
    expect(plant.agent.asked).toEqual([]);
  });

  it('of an alarm that is over and seen, or set aside, there is nothing to press', async () => {
    await stands('normal');
    expect(button((await ask('GET', pathOf())).text)).toBeUndefined();
    await stands('shelved');
    const { text } = await ask('POST', pathOf());
    expect(text).toContain('ola has shelved it until 2026-03-02 13:00: sensor is changed');
    expect(plant.agent.asked).toEqual([]);
  });

  it('of an alarm that is over and nobody saw acknowledges that', async () => {
    await stands('returned-unacknowledged');
    expect((await ask('POST', pathOf())).status).toBe(200);
    expect(plant.agent.asked).toHaveLength(1);
  });

  it('says that it is not done where the agent refuses or does not answer', async () => {
    plant.agent.answer = () => ({ ok: false, message: 'no such alarm waits to be acknowledged' });
    expect(await ask('POST', pathOf())).toMatchObject({
      status: 409,
      text: expect.stringContaining('It was not acknowledged. No such alarm waits to be acknowledged.') as string,
    });
    plant.agent.answer = undefined;
    expect(await ask('POST', pathOf())).toMatchObject({ status: 504, text: expect.stringContaining('does not answer') as string });
  });

  it('says that it is not done where the broker is away', async () => {
    await plant.stopBroker();
    await expect
      .poll(() => ask('POST', pathOf()), { timeout: 15_000 })
      .toMatchObject({ status: 503, text: expect.stringContaining('It is NOT acknowledged') as string });
  });

  it('acknowledges the silence of the agent, which is the web server’s own alarm', async () => {
    await plant.agent.heartbeat(false);
    const silence = async () => {
      const response = await fetch(`${plant.web.url}/healthz`);
      return ((await response.json()) as { agent: string }).agent;
    };
    await expect.poll(silence).toBe('silent');
    const path = `/ack/${signAckLink({ alarm: 'agent-silent', sinceMs: Date.now(), person: 'marta', expiresMs: GRANT.expiresMs }, SECRET)}`;
    expect((await ask('POST', path)).text).toContain('Acknowledged by Marta');
    expect((await ask('POST', path)).text).toContain('It was acknowledged already');
    expect(plant.agent.asked).toEqual([]);
  });
});

describe('a link that is not good', () => {
  const other = Buffer.alloc(32, 8);
  it.each([
    ['expired', 410, () => pathOf({ expiresMs: Date.now() - 1 }), 'This link has expired.'],
    ['made with another secret', 403, () => `/ack/${signAckLink(GRANT, other)}`, 'This link was not made here'],
    ['cut off', 404, () => pathOf().slice(0, -5), 'only a part of one'],
    ['empty', 404, () => '/ack/', 'only a part of one'],
    ['very long', 404, () => `/ack/${'a'.repeat(3000)}`, 'only a part of one'],
    ['of somebody whom the site names no more', 403, () => pathOf({ person: 'ghost' }), 'no longer names the person'],
  ])('because it is %s is refused in a sentence, and tells nothing of the plant', async (_, status, path, words) => {
    for (const method of ['GET', 'POST']) {
      const answer = await ask(method, path());
      expect(answer.status).toBe(status);
      expect(answer.text).toContain(words);
      expect(answer.text).not.toMatch(/Enamel|Alder|stroke|<button/);
    }
    expect(plant.agent.asked).toEqual([]);
  });

  it('is not to be guessed: after thirty in a minute no more are looked at', async () => {
    const statuses: number[] = [];
    for (let nth = 0; nth < 40; nth++) statuses.push((await ask('GET', `/ack/1.${nth}.x`)).status);
    expect(statuses.filter((status) => status === 404).length).toBeLessThanOrEqual(30);
    const refused = await ask('GET', '/ack/1.x.x');
    expect([refused.status, refused.text.includes('Too many links')]).toEqual([429, true]);
  });
});

describe('nowhere else', () => {
  it('is a form taken', async () => {
    expect((await ask('POST', '/api/session')).status).toBe(415);
  });

  it('is a token written down where something goes wrong', () => {
    expect(plant.said.join()).not.toContain('/ack/');
  });
});

function alarmEvent(change: AlarmEvent['change'], time: string): AlarmEvent {
  return {
    ...{ kind: 'alarm', id: change, timeMs: Date.parse(time), conveyor: 'line1', takeup: 'tu1', alarm: 'stroke-end', priority: 'high' },
    ...{ change, from: 'normal', to: 'unacknowledged', value: 8.2, limit: 11.5, unit: 'mm' },
  };
}
