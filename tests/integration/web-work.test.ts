import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { startPlant, type Plant } from '../web/a-plant.js';
import { findingOf, loggedOf, Service } from '../web/a-service.js';
import { engineer, visitor, type Visitor } from '../web/a-visitor.js';

const REMOVED = { time: '2026-03-02T07:30:00Z', conveyor: 'line1', kind: 'chain-removed', pitches: 2 };
const FINDING = { conveyor: 'line1', takeup: 'tu1', finding: 'line1-tu1-1' };
const FINDINGS = '/api/takeups/line1/tu1/findings';
const ENTRIES = '/api/takeups/line1/tu1/entries';

let service: Service;
let plant: Plant;
/** Signed in once: tries are counted. */
let boss: Visitor;
let kari: Visitor;
let wall: Visitor;
beforeAll(async () => {
  plant = await startPlant({ history: { findings: (filter) => ask('findings')(filter), entries: () => ask('entries')() } });
  boss = await engineer(plant.web);
  kari = await colleague('kari', 'technician');
  wall = await colleague('wall', 'viewer');
});
afterAll(() => plant.stop());
beforeEach(() => {
  service = new Service();
  service.findings = [findingOf()];
  plant.agent.answer = service.answer;
});

/** What the present service answers. */
function ask<Question extends 'findings' | 'entries'>(question: Question): NonNullable<Service['history'][Question]> {
  const answer = service.history[question];
  if (answer === undefined) throw new Error(`a service answers ${question}`);
  return answer;
}

async function colleague(name: string, role: string): Promise<Visitor> {
  await boss.ask('POST', '/api/people', { name, role, password: `${name}-password` });
  const somebody = visitor(plant.web.url);
  await somebody.ask('POST', '/api/session', { name, password: `${name}-password` });
  return somebody;
}

let requests = 0;
const newRequest = () => `request-${String((requests += 1))}`;
const post = (who: Visitor, path: string, body: object, request = newRequest()) => who.ask('POST', path, { request, ...body });
const read = async (path: string) => (await boss.ask('GET', path)).json() as Promise<readonly Record<string, unknown>[]>;
const refusal = async (response: Response) => {
  expect(response.headers.get('content-type')).toContain('application/problem+json');
  return [response.status, ((await response.json()) as { detail: string }).detail];
};

describe('who may write down and judge', () => {
  it('is technicians and engineers; everybody signed in may read', async () => {
    const row = async (who: Visitor) => [
      (await who.ask('GET', FINDINGS)).status,
      (await who.ask('GET', ENTRIES)).status,
      (await post(who, '/api/entries', { entry: REMOVED })).status,
      (await post(who, '/api/findings/confirm', FINDING)).status,
      (await post(who, '/api/findings/reject', FINDING)).status,
    ];
    expect(await row(visitor(plant.web.url))).toEqual([401, 401, 401, 401, 401]);
    const before = plant.agent.asked.length;
    expect(await row(wall)).toEqual([200, 200, 403, 403, 403]);
    expect(plant.agent.asked.length).toBe(before);
    expect(await row(kari)).toEqual([200, 200, 204, 204, 204]);
  });
});

describe('an entry', () => {
  it('reaches the agent as by whoever is signed in, whatever it says itself, and is in the log', async () => {
    const entry = { ...REMOVED, by: 'somebody-else', id: 'of-my-own' };
    expect((await post(kari, '/api/entries', { entry }, 'my-click')).status).toBe(204);
    expect(plant.agent.asked.at(-1)).toMatchObject({ verb: 'service-entry', message: { request: 'my-click', by: 'kari' } });
    expect(await read(ENTRIES)).toMatchObject([{ id: 'my-click', by: 'kari', entry: { kind: 'chain-removed', pitches: 2 } }]);
  });

  it('that is sent twice is one, one after the other or at once', async () => {
    const body = { entry: REMOVED };
    const answers = await Promise.all([post(kari, '/api/entries', body, 'double-click'), post(kari, '/api/entries', body, 'double-click')]);
    answers.push(await post(kari, '/api/entries', body, 'double-click'));
    expect(answers.map(({ status }) => status)).toEqual([204, 204, 204]);
    expect(await read(ENTRIES)).toHaveLength(1);
  });

  it('that the agent does not take is refused with its reason', async () => {
    plant.agent.answer = () => ({ ok: false, message: 'the entry lies in the future: give the time at which the work was done' });
    expect(await refusal(await post(kari, '/api/entries', { entry: REMOVED }))).toEqual([
      409,
      'The entry lies in the future: give the time at which the work was done.',
    ]);
  });

  it('is in doubt while the agent is silent, and says that trying again does no harm', async () => {
    plant.agent.answer = undefined;
    const [status, detail] = await refusal(await post(kari, '/api/entries', { entry: REMOVED }));
    expect(status).toBe(504);
    expect(detail).toContain('trying again does no harm');
  }, 10_000);

  it.each([
    ['without a name', { entry: REMOVED }],
    ['with a name that is no topic level', { request: 'a/b', entry: REMOVED }],
    ['with an entry that is none', { request: 'a', entry: 'chain out' }],
    ['with more than is asked for', { request: 'a', entry: REMOVED, by: 'ola' }],
  ])('%s is not passed on', async (_, body) => {
    const before = plant.agent.asked.length;
    expect((await kari.ask('POST', '/api/entries', body)).status).toBe(400);
    expect(plant.agent.asked.length).toBe(before);
  });
});

describe('an open finding', () => {
  it('that is confirmed is recorded as it suggests, by whom, and is open no more', async () => {
    expect(await read(FINDINGS)).toMatchObject([{ id: 'line1-tu1-1', state: 'open' }]);
    expect((await post(kari, '/api/findings/confirm', FINDING)).status).toBe(204);
    expect(await read(ENTRIES)).toMatchObject([{ by: 'kari', entry: { kind: 'chain-removed', pitches: 2, time: '2026-03-02T07:00:00Z' } }]);
    expect(await read(FINDINGS)).toMatchObject([{ state: 'explained', by: 'kari' }]);
  });

  it('is in the list of the whole site until somebody has judged it', async () => {
    service.findings = [findingOf(), findingOf({ id: 'line1-tu2-1', takeup: 'tu2', state: 'rejected' })];
    expect(await read('/api/findings/open')).toMatchObject([{ id: 'line1-tu1-1', takeup: 'tu1' }]);
    expect((await wall.ask('GET', '/api/findings/open')).status).toBe(200);
    await post(kari, '/api/findings/confirm', FINDING);
    expect(await read('/api/findings/open')).toEqual([]);
  });

  it('is recorded once, however often it is confirmed and by however many', async () => {
    expect((await post(kari, '/api/findings/confirm', FINDING)).status).toBe(204);
    expect((await post(kari, '/api/findings/confirm', FINDING)).status).toBe(204);
    expect(await refusal(await post(boss, '/api/findings/confirm', FINDING))).toEqual([409, 'kari has recorded it already.']);
    expect(await read(ENTRIES)).toHaveLength(1);
  });

  it('may be confirmed anew once the entry was struck out', async () => {
    await post(kari, '/api/findings/confirm', FINDING);
    const [entry] = service.entries;
    service.entries.push(
      loggedOf({ id: 'c', kind: 'correction', time: '2026-03-03T07:00:00Z', replaces: entry?.id, withdraw: true, by: 'engineer' }),
    );
    expect(await read(FINDINGS)).toMatchObject([{ state: 'open' }]);
    expect(await read(ENTRIES)).toMatchObject([{ state: 'withdrawn', changedBy: 'engineer' }]);
    expect((await post(kari, '/api/findings/confirm', FINDING)).status).toBe(204);
    expect(await read(ENTRIES)).toMatchObject([{ by: 'kari' }, { state: 'withdrawn' }]);
  });

  it('that is rejected is kept with who rejected it', async () => {
    expect((await post(kari, '/api/findings/reject', FINDING)).status).toBe(204);
    expect(plant.agent.asked.at(-1)).toMatchObject({
      verb: 'reject-finding',
      message: { conveyor: 'line1', finding: 'line1-tu1-1', by: 'kari' },
    });
    expect(await read(FINDINGS)).toMatchObject([{ state: 'rejected', by: 'kari' }]);
  });

  it.each([
    ['explained', findingOf({ state: 'explained' }), 409, 'A service entry explains it by now.'],
    ['rejected', findingOf({ state: 'rejected', by: 'ola' }), 409, 'ola said that it is not so.'],
    ['another one', findingOf({ id: 'line1-tu1-2' }), 404, 'There is no such finding at this take-up.'],
  ])('that is %s by now is not confirmed', async (_, finding, status, detail) => {
    service.findings = [finding];
    expect(await refusal(await post(kari, '/api/findings/confirm', FINDING))).toEqual([status, detail]);
    expect(await read(ENTRIES)).toEqual([]);
  });

  it('that suggests nothing is not confirmed', async () => {
    const { suggestion, ...rest } = findingOf();
    service.findings = [rest];
    expect(suggestion).toBeDefined();
    expect((await post(kari, '/api/findings/confirm', FINDING)).status).toBe(400);
  });

  it('of a take-up that is not there is not found', async () => {
    expect((await boss.ask('GET', '/api/takeups/line1/tu9/findings')).status).toBe(404);
    expect((await boss.ask('GET', '/api/takeups/line9/tu1/entries')).status).toBe(404);
    for (const verdict of ['confirm', 'reject'])
      expect((await post(kari, `/api/findings/${verdict}`, { ...FINDING, takeup: 'tu9' })).status).toBe(404);
  });
});
