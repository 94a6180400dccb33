import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { AlarmEvent } from '../../agent/store/history.js';
import { startPlant, type Plant } from '../web/a-plant.js';
import { aMorning, eventsHistory } from '../web/an-alarm-history.js';
import { engineer, visitor, type Visitor } from '../web/a-visitor.js';

const START = Date.parse('2026-03-02T05:00:00Z');
const ALARM = { conveyor: 'line1', takeup: 'tu1', alarm: 'stroke-end' };

let events: readonly AlarmEvent[];
let plant: Plant;
let boss: Visitor;
let technician: Visitor;
let viewer: Visitor;
beforeAll(async () => {
  plant = await startPlant({ history: eventsHistory(() => events) });
  boss = await engineer(plant.web);
  [technician, viewer] = (await Promise.all(
    ['technician', 'viewer'].map(async (role) => {
      await boss.ask('POST', '/api/people', { name: role, role, password: `${role}-password` });
      const somebody = visitor(plant.web.url);
      await somebody.ask('POST', '/api/session', { name: role, password: `${role}-password` });
      return somebody;
    }),
  )) as [Visitor, Visitor];
});
afterAll(() => plant.stop());
beforeEach(() => {
  events = [];
  plant.agent.answer = () => ({ ok: true, message: 'done' });
});

const post = (who: Visitor, verb: string, body: unknown) => who.ask('POST', `/api/alarms/${verb}`, body);
const lastAsked = () => plant.agent.asked.at(-1);

describe('what may be done with an alarm', () => {
  it('depends on the role, and a viewer only looks', async () => {
    const bodies = { acknowledge: ALARM, shelve: { ...ALARM, minutes: 60, why: 'sensor is changed' }, unshelve: ALARM };
    const ofService = { 'out-of-service': { ...ALARM, why: 'line is rebuilt' }, 'in-service': ALARM };
    const statuses = async (who: Visitor) =>
      Promise.all(Object.entries({ ...bodies, ...ofService }).map(async ([verb, body]) => (await post(who, verb, body)).status));
    expect(await statuses(viewer)).toEqual([403, 403, 403, 403, 403]);
    expect(await statuses(technician)).toEqual([204, 204, 204, 403, 403]);
    expect(await statuses(boss)).toEqual([204, 204, 204, 204, 204]);
  });

  it('is shelving until a time, with who and why', async () => {
    const before = Date.now();
    expect((await post(technician, 'shelve', { ...ALARM, minutes: 90, why: 'the sensor is changed' })).status).toBe(204);
    const { verb, message } = lastAsked() ?? {};
    expect(verb).toBe('shelve');
    expect(message).toMatchObject({ ...ALARM, by: 'technician', why: 'the sensor is changed' });
    const until = Date.parse(String(message?.['until']));
    expect(until - 90 * 60_000).toBeGreaterThanOrEqual(before);
    expect(until - 90 * 60_000).toBeLessThanOrEqual(Date.now());
  });

  it.each([
    ['shelve', { ...ALARM, minutes: 24 * 60 + 1, why: 'for long' }],
    ['shelve', { ...ALARM, minutes: 0, why: 'for nothing' }],
    ['shelve', { ...ALARM, minutes: 60 }],
    ['shelve', { ...ALARM, minutes: 60, why: '   ' }],
    ['out-of-service', ALARM],
    ['shelve', { alarm: 'stroke-end', minutes: 60, why: 'of which?' }],
    ['shelve', { alarm: 'agent-silent', minutes: 60, why: 'it annoys' }],
    ['acknowledge-several', { alarms: [] }],
  ])('is not to %s with %o', async (verb, body) => {
    const asked = plant.agent.asked.length;
    expect((await post(boss, verb, body)).status).toBe(400);
    expect(plant.agent.asked).toHaveLength(asked);
  });

  it('is said in the agent’s words where it refuses', async () => {
    plant.agent.answer = () => ({ ok: false, message: 'the alarm is shelved already' });
    const response = await post(boss, 'shelve', { ...ALARM, minutes: 60, why: 'again' });
    expect(response.status).toBe(409);
    expect(await response.json()).toMatchObject({ detail: 'The alarm is shelved already.' });
  });
});

describe('several at once', () => {
  it('are acknowledged each for itself, and those that are not say why', async () => {
    plant.agent.answer = (_, { takeup }) =>
      takeup === 'tu7' ? { ok: false, message: 'no such alarm waits to be acknowledged' } : { ok: true, message: 'acknowledged' };
    const alarms = Array.from({ length: 50 }, (_, index) => ({ ...ALARM, takeup: `tu${index}` }));
    const asked = plant.agent.asked.length;
    const response = await post(technician, 'acknowledge-several', { alarms });
    expect(await response.json()).toEqual({
      acknowledged: 49,
      refused: [{ alarm: { ...ALARM, takeup: 'tu7' }, why: 'No such alarm waits to be acknowledged.' }],
    });
    expect(plant.agent.asked.slice(asked).map(({ message }) => [message['takeup'], message.by])).toEqual(
      alarms.map(({ takeup }) => [takeup, 'technician']),
    );
  });

  it('are given up together where the agent does not answer', async () => {
    plant.agent.answer = undefined;
    const alarms = Array.from({ length: 60 }, (_, index) => ({ ...ALARM, takeup: `tu${index}` }));
    const asked = plant.agent.asked.length;
    const answer = (await (await post(technician, 'acknowledge-several', { alarms })).json()) as {
      acknowledged: number;
      refused: unknown[];
    };
    expect([answer.acknowledged, answer.refused.length]).toEqual([0, 60]);
    // Twenty were asked together and waited for; the others were not.
    expect(plant.agent.asked.length - asked).toBe(20);
  });
});

/** A morning with what a table program would take for a formula. */
const aShift = () => aMorning(START, 8.25, { by: 'ola, the night’s "one"', why: '=1+1' });

describe('the list of changes', () => {
  const list = async (query: string) => (await (await boss.ask('GET', `/api/alarms/changes?${query}`)).json()) as Record<string, unknown>;
  const times = (answer: Record<string, unknown>) =>
    (answer['events'] as readonly { timeMs: number }[]).map(({ timeMs }) => (timeMs - START) / 1000);

  it('comes page by page, latest first, and ends', async () => {
    events = aShift();
    const first = await list('limit=5');
    expect([first['total'], times(first)]).toEqual([8, [1320, 1200, 650, 640, 630]]);
    const second = await list(`limit=5&before=${String(first['next'])}`);
    expect([times(second), second['next']]).toEqual([[620, 610, 600].slice(0, 3), undefined]);
  });

  it('is narrowed by day on the site’s clock, take-up, alarm, priority and change', async () => {
    events = aShift();
    const total = async (query: string) => (await list(query))['total'];
    expect([await total('from=2026-03-02&to=2026-03-02'), await total('from=2026-03-03'), await total('to=2026-03-01')]).toEqual([8, 0, 0]);
    expect([await total('conveyor=line1&takeup=tu2'), await total('alarm=stroke-end,stroke-date'), await total('priority=high')]).toEqual([
      ...[2, 2, 2],
    ]);
    expect([await total('change=raised'), await total('change=raised,acknowledged&priority=high')]).toEqual([4, 2]);
  });

  it.each(['from=2026-02-30', 'from=2026-03-02&to=2026-03-01', 'alarm=no-such', 'change=vanished', 'before=then', 'colour=red'])(
    'is refused in words for %s',
    async (query) => {
      const response = await boss.ask('GET', `/api/alarms/changes?${query}`);
      expect(response.status).toBe(400);
      expect(((await response.json()) as { detail: string }).detail).not.toMatch(/undefined|\[object/);
    },
  );

  it('is had as a file that a spreadsheet reads, and in which nothing typed is a formula', async () => {
    events = aShift();
    const response = await boss.ask('GET', '/api/alarms/changes.csv?takeup=tu2');
    expect(response.headers.get('content-disposition')).toBe('attachment; filename="alarm-changes-alder-point.csv"');
    const [head, first, second, end] = (await response.text()).split('\r\n');
    expect(head).toBe('time,local_time,conveyor,takeup,side,signal,alarm,priority,change,from,to,value,limit,unit,by,why');
    expect(first).toBe(
      '2026-03-02T05:22:00Z,2026-03-02 06:22:00,line1,tu2,,,stroke-end,high,acknowledged,unacknowledged,acknowledged,8.25,11.5,mm,' +
        '"ola, the night’s ""one""",\'=1+1',
    );
    expect([second?.startsWith('2026-03-02T05:20:00Z'), end]).toEqual([true, '']);
  });
});

describe('judging', () => {
  const at = (seconds: number) => String(START + seconds * 1000);

  it('gives the figures of a shift and what they rest on', async () => {
    events = aShift();
    const answer: unknown = await (await boss.ask('GET', `/api/alarms/judged?by=shift&atMs=${at(3600)}`)).json();
    expect(answer).toMatchObject({
      ...{ kind: 'shift', timezone: 'Europe/Oslo', shifts: ['06:00', '14:00', '22:00'], running: false },
      figures: { name: '2026-03-02 06:00–14:00', alarms: 4, peakPeriod: 3, chattering: 3, fleeting: 3, acknowledgeMedianMs: 120_000 },
      chattering: [{ name: { takeup: 'tu1' }, alarms: 3, share: 1 }],
    });
    const { series, periods } = answer as { series: readonly { alarms: number }[]; periods: readonly unknown[] };
    expect([series.length, series.at(-1)?.alarms, series.at(-2)?.alarms, periods.length]).toEqual([21, 4, 0, 48]);
  });

  it('goes by other shifts, days and months as asked', async () => {
    events = aShift();
    const name = async (query: string) => {
      const answer = (await (await boss.ask('GET', `/api/alarms/judged?${query}&atMs=${at(1500)}`)).json()) as {
        figures: { name: string; alarms: number };
      };
      return [answer.figures.name, answer.figures.alarms];
    };
    expect(await name('by=shift&shifts=07:00,19:00')).toEqual(['2026-03-01 19:00–07:00', 4]);
    expect(await name('by=day')).toEqual(['2026-03-02', 4]);
    expect(await name('by=month')).toEqual(['2026-03', 4]);
  });

  it('is had as tables', async () => {
    events = aShift();
    const table = async (which: string) =>
      (await (await boss.ask('GET', `/api/alarms/judged.csv?by=shift&atMs=${at(0)}&table=${which}`)).text()).split('\r\n');
    expect((await table('spans')).at(-2)).toBe(
      '2026-03-02 06:00–14:00,2026-03-02T05:00:00Z,2026-03-02 06:00:00,2026-03-02T13:00:00Z,4,0.0833,3,0,0,1,3,0,1,3,3,0,1,1,1,120,120,1',
    );
    expect((await table('frequent'))[1]).toBe('line1,tu1,,stroke-low,medium,3,0.75');
    expect((await table('periods'))[3]).toBe('2026-03-02T05:20:00Z,2026-03-02 06:20:00,2026-03-02T05:30:00Z,1,1,1');
    expect(await table('stale')).toEqual(['conveyor,takeup,signal,alarm,priority,standing_since,local_standing_since', '']);
  });

  it.each(['by=year', 'by=shift&shifts=25:00', 'by=day&atMs=99999999999999', 'by=day&atMs=yesterday'])(
    'is refused in words for %s',
    async (query) => {
      expect((await boss.ask('GET', `/api/alarms/judged?${query}`)).status).toBe(400);
    },
  );
});

describe('the agent’s own silence', () => {
  it('is in the list with who acknowledged it, also after the web server was started anew', async () => {
    await plant.agent.heartbeat();
    await plant.agent.heartbeat(false);
    await expect
      .poll(async () => (await (await boss.ask('GET', '/api/alarms')).json()) as unknown)
      .toMatchObject({ standing: [{ alarm: 'agent-silent', state: 'unacknowledged' }] });
    expect((await post(technician, 'acknowledge', { alarm: 'agent-silent' })).status).toBe(204);
    await plant.stopWeb();
    await plant.startWeb();
    const answer: unknown = await (await boss.ask('GET', '/api/alarms/changes?alarm=agent-silent')).json();
    expect(answer).toMatchObject({
      total: 2,
      events: [
        { change: 'acknowledged', by: 'technician' },
        { change: 'raised', to: 'unacknowledged' },
      ],
    });
    expect(await (await boss.ask('GET', '/api/alarms')).json()).toMatchObject({ standing: [{ state: 'acknowledged' }] });
    await plant.agent.heartbeat();
  });
});
