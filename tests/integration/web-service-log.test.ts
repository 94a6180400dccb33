import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { parseServiceEntry } from '../../agent/contract/parse-service-entry.js';
import { applyCorrections } from '../../agent/contract/service-entry-corrections.js';
import type { EntryAnswer, OpenServiceAnswer } from '../../web/server/logic/work-answers.js';
import { startPlant, type Plant } from '../web/a-plant.js';
import { findingOf, loggedOf, Service } from '../web/a-service.js';
import { engineer, visitor, type Visitor } from '../web/a-visitor.js';

const REMOVED = { id: 'a', time: '2026-03-02T07:30:00Z', conveyor: 'line1', kind: 'chain-removed', pitches: 4, by: 'kari' };
const NOTED = { id: 'b', time: '2026-03-03T07:00:00Z', conveyor: 'line1', takeup: 'tu2', kind: 'note', text: '=guard, "bent"', by: 'ola' };
const OPENED = { id: 'c', time: '2026-03-04T06:00:00Z', conveyor: 'line1', takeup: 'tu1', kind: 'service-opened', by: 'kari' };

let service = new Service();
let plant: Plant;
let boss: Visitor;
let wall: Visitor;

beforeAll(async () => {
  plant = await startPlant({
    history: { entries: () => Promise.resolve(service.entries), findings: () => Promise.resolve(service.findings) },
  });
  boss = await engineer(plant.web);
  await boss.ask('POST', '/api/people', { name: 'wall', role: 'viewer', password: 'wall-password' });
  wall = visitor(plant.web.url);
  await wall.ask('POST', '/api/session', { name: 'wall', password: 'wall-password' });
});
afterAll(() => plant.stop());
beforeEach(() => {
  service = new Service();
  service.entries = [REMOVED, NOTED, OPENED].map(loggedOf);
  plant.agent.answer = service.answer;
});

let requests = 0;
const newRequest = () => `log-${String((requests += 1))}`;
const read = async (query = '') => (await (await boss.ask('GET', `/api/entries${query}`)).json()) as readonly EntryAnswer[];
const ids = async (query: string) => (await read(query)).map(({ id }) => id);
const correct = (body: object, request = newRequest(), who = boss) => who.ask('POST', '/api/entries/correct', { request, ...body });

describe('who may read, correct and close', () => {
  it('is everybody, and technicians and engineers', async () => {
    for (const path of ['/api/entries', '/api/entries.csv', '/api/entries.jsonl', '/api/services/open']) {
      expect((await visitor(plant.web.url).ask('GET', path)).status, path).toBe(401);
      expect((await wall.ask('GET', path)).status, path).toBe(200);
    }
    expect((await correct({ entry: 'a', withdraw: true }, newRequest(), wall)).status).toBe(403);
    expect((await wall.ask('POST', '/api/services/close', { request: newRequest(), conveyor: 'line1', takeup: 'tu1' })).status).toBe(403);
  });
});

describe('the log of the whole site', () => {
  it('is filtered by place, kind, person, time, state and words', async () => {
    expect(await ids('')).toEqual(['c', 'b', 'a']);
    expect(await ids('?takeup=tu1')).toEqual(['c', 'a']);
    expect(await ids('?kinds=note,chain-removed')).toEqual(['b', 'a']);
    expect(await ids('?by=kari')).toEqual(['c', 'a']);
    expect(await ids(`?fromMs=${String(Date.parse(NOTED.time))}&toMs=${String(Date.parse(OPENED.time))}`)).toEqual(['b']);
    expect(await ids('?text=guard')).toEqual(['b']);
    expect(await ids('?conveyor=line2')).toEqual([]);
    expect((await boss.ask('GET', '/api/entries?who=kari')).status).toBe(400);
  });

  it('keeps what was once written when it is corrected, and shows both', async () => {
    expect((await correct({ entry: 'a', changes: { pitches: 2 } })).status).toBe(204);
    expect((await correct({ entry: 'a', withdraw: true })).status).toBe(204);
    const entry = (await read()).find(({ id }) => id === 'a');
    expect(entry).toMatchObject({ state: 'withdrawn', changedBy: 'engineer' });
    expect(entry?.versions).toMatchObject([
      { entry: { pitches: 4 }, by: 'kari' },
      { entry: { pitches: 2 }, by: 'engineer' },
      { entry: { pitches: 2 }, by: 'engineer', withdrawn: true },
    ]);
    expect(await ids('?state=standing')).toEqual(['c', 'b']);
    expect(await ids('?state=withdrawn')).toEqual(['a']);
  });

  it('takes a correction once, however often it is sent', async () => {
    const body = { entry: 'a', changes: { pitches: 2 } };
    const answers = [await correct(body, 'again'), await correct(body, 'again')];
    expect(answers.map(({ status }) => status)).toEqual([204, 204]);
    expect(service.entries.filter(({ kind }) => kind === 'correction')).toHaveLength(1);
  });

  it.each([
    [{ entry: 'z', withdraw: true }, 404],
    [{ entry: 'a' }, 400],
    [{ entry: 'a', changes: { kind: 'note' } }, 400],
  ])('refuses the correction %j', async (body, status) => {
    expect((await correct(body)).status).toBe(status);
  });
});

describe('the log as a file', () => {
  it('is JSON lines that a replay takes, corrections among them', async () => {
    await correct({ entry: 'a', changes: { pitches: 2 } });
    const response = await boss.ask('GET', '/api/entries.jsonl?kinds=chain-removed');
    expect(response.headers.get('content-disposition')).toContain('alder-point-service-log.jsonl');
    const entries = (await response.text())
      .trim()
      .split('\n')
      .map((line) => parseServiceEntry(JSON.parse(line), plant.site));
    expect(entries.map(({ ok }) => ok)).toEqual([true, true]);
    const { entries: standing } = applyCorrections(entries.flatMap((one) => (one.ok ? [one.entry] : [])));
    expect(standing).toMatchObject([{ id: 'a', kind: 'chain-removed', pitches: 2 }]);
  });

  it('is comma-separated values with a header, in which no text becomes a formula', async () => {
    const text = await (await boss.ask('GET', '/api/entries.csv')).text();
    const [header, ...rows] = text.trim().split('\r\n');
    expect(header).toMatch(/^id,time,conveyor,takeup,kind,/);
    expect(rows).toHaveLength(3);
    expect(rows[1]).toContain(`"'=guard, ""bent"""`);
  });
});

describe('open services', () => {
  const open = async () => (await (await boss.ask('GET', '/api/services/open')).json()) as readonly OpenServiceAnswer[];
  const close = (request = newRequest()) => boss.ask('POST', '/api/services/close', { request, conveyor: 'line1', takeup: 'tu1' });

  it('are told with who opened them and since when, and are closed from there', async () => {
    expect(await open()).toEqual([{ conveyor: 'line1', takeup: 'tu1', id: 'c', since: '2026-03-04T06:00:00Z', by: 'kari' }]);
    expect((await close('closes-it')).status).toBe(204);
    expect((await close('closes-it')).status).toBe(204);
    expect(await open()).toEqual([]);
    expect((await close()).status).toBe(409);
    expect(service.entries.filter(({ kind }) => kind === 'service-closed')).toHaveLength(1);
  });

  it('of a whole conveyor are open on each of its take-ups', async () => {
    service.entries = [loggedOf({ ...OPENED, takeup: undefined })];
    expect((await open()).map(({ takeup }) => takeup)).toEqual(['tu1', 'tu2']);
  });
});

describe('chain written down as taken out', () => {
  const toMs = Date.parse('2026-03-02T09:00:00Z');
  const check = async () => (await read()).find(({ id }) => id === 'a')?.check;

  it.each([
    ['as much as both carriages came in by', [-76.5, -76.2], 'agrees', 'The carriage says the same: 4 pitches out.'],
    // With the nuts of the other left alone and the tension as it was, one comes in for all of it.
    ['as much as one came in by alone', [-152.8, 0], 'agrees', 'The carriage says the same: 4 pitches out.'],
    [
      'twice as much as they came in by',
      [-38.2, -38.1],
      'count-differs',
      '4 pitches were written down, the carriage says 2: check the count.',
    ],
    ['and they came in by something else', [-60, -60], 'cannot-say', undefined],
  ])('%s', async (_, [one = 0, two = 0], verdict, sentence) => {
    service.findings = [
      findingOf({ toMs, moveMm: one, state: 'explained' }),
      ...(two === 0 ? [] : [findingOf({ id: 'line1-tu2-1', takeup: 'tu2', toMs: toMs + 300_000, moveMm: two, state: 'explained' })]),
    ];
    expect(await check()).toMatchObject(sentence === undefined ? { verdict } : { verdict, sentence });
  });

  it('and no move of the carriage within a day of it cannot be judged', async () => {
    expect(await check()).toMatchObject({ verdict: 'cannot-say' });
    expect((await read()).filter(({ check: one }) => one !== undefined)).toHaveLength(1);
  });
});
