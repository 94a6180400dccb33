import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { formatTime } from '../../agent/units/time.js';
import type { CardAnswer, CardChange, CardHead, CardJob, CloseAnswer } from '../../web/server/logic/card-answers.js';
import type { PlanAnswer } from '../../web/server/logic/plan-answers.js';
import { startPlant, type Plant } from '../web/a-plant.js';
import { Service } from '../web/a-service.js';
import { nowOf } from '../web/a-takeup.js';
import { colleague, engineer, visitor, type Visitor } from '../web/a-visitor.js';

const HOUR_MS = 3_600_000;
const FOUR_OUT: CardJob = { kind: 'removal', pitches: 4 };

let service = new Service();
let plant: Plant;
let boss: Visitor;
let kari: Visitor;
let ola: Visitor;
let wall: Visitor;

beforeAll(async () => {
  plant = await startPlant({ history: { entries: () => Promise.resolve(service.entries) } });
  boss = await engineer(plant.web);
  kari = await colleague(plant.web.url, boss, 'kari', 'technician');
  ola = await colleague(plant.web.url, boss, 'ola', 'technician');
  wall = await colleague(plant.web.url, boss, 'wall', 'viewer');
});
afterAll(() => plant.stop());
beforeEach(async () => {
  service = new Service();
  plant.agent.answer = service.answer;
  await plant.agent.heartbeat();
  await plant.agent.now(standing());
  await expect
    .poll(async () => ((await (await boss.ask('GET', '/api/takeups/line1/tu1/plan')).json()) as PlanAnswer).basis.figures)
    .toMatchObject({ positionMm: 205 });
});

const standing = (different: Parameters<typeof nowOf>[0] = {}) =>
  nowOf({
    ...{ time: formatTime(Date.now()), settledMm: 205, positionMm: 205, settledAt: formatTime(Date.now() - HOUR_MS) },
    ...{ settledRunHours: 1000, runHours: 1000.2, chain: { ...nowOf().chain, thermalMm: 0 }, ...different },
  });

let requests = 0;
const newRequest = () => `made-${String((requests += 1))}`;

async function made(job: CardJob = FOUR_OUT, who = kari, request = newRequest()): Promise<CardAnswer> {
  const response = await who.ask('POST', '/api/cards', { request, conveyor: 'line1', takeup: 'tu1', job });
  expect(response.status).toBe(201);
  return (await response.json()) as CardAnswer;
}

type Filled = Omit<CardChange, 'version'>;
const write = (who: Visitor, { number, version }: CardHead, filled: Filled) =>
  who.ask('PATCH', `/api/cards/${String(number)}`, { version, ...filled });
const cardOf = async (number: number) => (await (await boss.ask('GET', `/api/cards/${String(number)}`)).json()) as CardAnswer;
const close = async (who: Visitor, { number }: CardHead) =>
  (await (await who.ask('POST', `/api/cards/${String(number)}/close`)).json()) as CloseAnswer;
const detail = async (response: Response) => ((await response.json()) as { detail: string }).detail;

/** All that closing asks for, and turns of both nuts. */
const DONE: Filled = {
  blanks: {
    ...{ 'done-pitches': 4, 'done-rock': 'ok', 'done-restraint-nuts': 'out', 'done-turns-left': 2.25, 'done-turns-right': 2 },
    ...{ 'locked-by': 'Kari', 'found-spring-left': 284.5, 'done-note': 'one pin was tight' },
  },
  ticks: { 'guards-back': true, 'restraint-nuts-out': true },
};
const kinds = () => service.entries.map(({ kind }) => kind);

describe('who may work with cards', () => {
  it('is technicians and engineers; everybody signed in may read', async () => {
    const card = await made();
    const path = `/api/cards/${String(card.number)}`;
    const row = async (who: Visitor) => [
      (await who.ask('GET', '/api/cards')).status,
      (await who.ask('GET', path)).status,
      (await who.ask('POST', '/api/cards', { request: newRequest(), conveyor: 'line1', takeup: 'tu1', job: FOUR_OUT })).status,
      (await write(who, card, {})).status,
      (await who.ask('POST', `${path}/begin`)).status,
      (await who.ask('POST', `${path}/close`)).status,
      (await who.ask('POST', `${path}/drop`, { why: 'not needed' })).status,
    ];
    expect(await row(visitor(plant.web.url))).toEqual([401, 401, 401, 401, 401, 401, 401]);
    expect(await row(wall)).toEqual([200, 200, 403, 403, 403, 403, 403]);
    expect(await row(kari)).toEqual([200, 200, 201, 200, 200, 200, 200]);
  });
});

describe('a job card', () => {
  it('is drawn up from the plan, with a number, its place, its maker and the cautions first', async () => {
    const card = await made();
    expect(card).toMatchObject({
      conveyor: 'line1',
      takeup: 'tu1',
      state: 'open',
      madeBy: 'kari',
      title: 'Shorten the chain by 4 pitches',
    });
    expect(card.card.sections[0]?.key).toBe('cautions');
    expect(card.basis.source).toBe('live');
    expect((await made()).number).toBe(card.number + 1);
    const nuts = await made({ kind: 'nuts', to: 'balance' });
    expect(nuts.title).toBe('Set the adjusting nuts');
  });

  it('that is asked for twice under one request is one', async () => {
    const [one, two] = await Promise.all([made(FOUR_OUT, kari, 'twice'), made(FOUR_OUT, kari, 'twice')]);
    expect(one.number).toBe(two.number);
    expect((await made(FOUR_OUT, ola, 'twice')).number).not.toBe(one.number);
  });

  it.each([
    [{ kind: 'removal', pitches: 3 }, 'multiples of 2 pitches'],
    [{ kind: 'removal', pitches: 40 }, 'inner stop'],
  ])('for %j is refused with why', async (job, why) => {
    const response = await kari.ask('POST', '/api/cards', { request: newRequest(), conveyor: 'line1', takeup: 'tu1', job });
    expect(response.status).toBe(409);
    expect(await detail(response)).toContain(why);
  });

  it('is in the list by its state and its take-up', async () => {
    const card = await made();
    const list = async (query: string) => (await (await boss.ask('GET', `/api/cards${query}`)).json()) as readonly CardHead[];
    expect((await list('?state=open'))[0]?.number).toBe(card.number);
    expect((await list('?conveyor=line1&takeup=tu1')).some(({ number }) => number === card.number)).toBe(true);
    expect(await list('?takeup=tu2')).toEqual([]);
  });
});

describe('two people on one card', () => {
  it('write different blanks beside one another, and both stand there', async () => {
    const card = await made();
    expect((await write(kari, card, { blanks: { 'locked-by': 'Kari' }, ticks: { isolate: true } })).status).toBe(200);
    expect((await write(ola, card, { blanks: { 'verified-by': 'Ola' } })).status).toBe(200);
    const now = await cardOf(card.number);
    expect(now.blanks).toMatchObject({ 'locked-by': { value: 'Kari', by: 'kari' }, 'verified-by': { value: 'Ola', by: 'ola' } });
    expect(now.ticks).toMatchObject({ isolate: { done: true, by: 'kari' } });
    expect(now.steps.done).toBe(1);
  });

  it('do not write over one another unseen: the second is told what the first wrote', async () => {
    const card = await made();
    await write(kari, card, { blanks: { 'done-pitches': 4 } });
    const late = await write(ola, card, { blanks: { 'done-pitches': 2, 'verified-by': 'Ola' } });
    expect(late.status).toBe(409);
    expect(await detail(late)).toContain('"Pitches taken out" was filled in by kari meanwhile: 4.');
    const seen = await cardOf(card.number);
    expect(seen.blanks['verified-by']).toBeUndefined();
    expect((await write(ola, seen, { blanks: { 'done-pitches': 2 } })).status).toBe(200);
    expect((await cardOf(card.number)).blanks['done-pitches']).toMatchObject({ value: 2, by: 'ola' });
  });

  it('may write over what they wrote themselves, and write the same again', async () => {
    const card = await made();
    await write(kari, card, { blanks: { 'done-pitches': 4 } });
    expect((await write(kari, card, { blanks: { 'done-pitches': 2 } })).status).toBe(200);
    expect((await write(ola, card, { blanks: { 'done-pitches': 2 } })).status).toBe(200);
  });

  it.each([
    [{ blanks: { 'done-pitches': 1.5 } }, 'whole number'],
    [{ blanks: { 'done-rock': 'fine' } }, 'ok or excessive'],
    [{ blanks: { 'done-shoes': 'black' } }, 'no blank done-shoes'],
    [{ ticks: { 'dance-around': true } }, 'no step dance-around'],
  ])('are told what %j lacks', async (filled, why) => {
    const card = await made();
    const response = await write(kari, card, filled as Filled);
    expect(response.status).toBe(400);
    expect(await detail(response)).toContain(why);
  });
});

describe('a card that is closed', () => {
  it('lacks what it lacks: nothing is written down', async () => {
    const card = await made();
    const { closed, missing } = await close(kari, card);
    expect(closed).toBe(false);
    expect(missing.map(({ blank, step }) => blank ?? step)).toEqual([
      'done-pitches',
      'done-rock',
      'done-restraint-nuts',
      'restraint-nuts-out',
      'guards-back',
    ]);
    expect(service.entries).toEqual([]);
  });

  it('writes what was done into the service log, from the opening of the service to its close', async () => {
    const card = await made();
    expect((await kari.ask('POST', `/api/cards/${String(card.number)}/begin`)).status).toBe(200);
    await write(kari, card, DONE);
    const { closed, card: after } = await close(kari, card);
    expect(closed).toBe(true);
    expect(after).toMatchObject({ state: 'closed', ended: { by: 'kari' }, verification: { verdict: 'not-yet' } });
    expect(kinds()).toEqual(['service-opened', 'chain-removed', 'nut-turned', 'nut-turned', 'inspected', 'note', 'service-closed']);
    expect(service.entries.map(({ body }) => body)).toMatchObject([
      { by: 'kari', takeup: 'tu1' },
      { pitches: 4, conveyor: 'line1' },
      { side: 'left', turns: 2.25 },
      { side: 'right', turns: 2 },
      { rock: 'ok', restraint_nuts: 'out' },
      { text: expect.stringContaining('one pin was tight') as string },
      {},
    ]);
  });

  it('twice, by two at once and once more later, is closed once', async () => {
    const card = await made();
    await write(kari, card, DONE);
    const both = await Promise.all([close(kari, card), close(ola, card)]);
    expect(both.map(({ closed }) => closed)).toEqual([true, true]);
    expect((await close(boss, card)).closed).toBe(true);
    expect(kinds()).toEqual(['chain-removed', 'nut-turned', 'nut-turned', 'inspected', 'note']);
  });

  it('takes nothing more, and says where it is corrected', async () => {
    const card = await made();
    await write(kari, card, DONE);
    await close(kari, card);
    const late = await write(kari, card, { blanks: { 'done-pitches': 2 } });
    expect(late.status).toBe(409);
    expect(await detail(late)).toContain('service log');
  });

  it('stays open where the agent refuses something, says what, and goes on from there', async () => {
    const card = await made();
    await write(kari, card, DONE);
    plant.agent.answer = (verb, message) => {
      const { kind } = message['entry'] as { kind: string };
      return kind === 'nut-turned' ? { ok: false, message: 'turns can be reckoned only with a lead' } : service.answer!(verb, message);
    };
    const { closed, refused } = await close(kari, card);
    expect(closed).toBe(false);
    expect(refused).toEqual([
      'The left nut is not recorded: turns can be reckoned only with a lead.',
      'The right nut is not recorded: turns can be reckoned only with a lead.',
    ]);
    expect(kinds()).toEqual(['chain-removed', 'inspected', 'note']);
    plant.agent.answer = service.answer;
    await write(kari, await cardOf(card.number), {
      blanks: { 'done-turns-left': null, 'done-turns-right': null, 'done-spring-left': 250, 'done-spring-right': 251, 'done-pitches': 2 },
    });
    expect((await close(ola, card)).closed).toBe(true);
    expect(service.entries.filter(({ kind }) => kind === 'chain-removed')).toHaveLength(1);
    expect(service.entries.filter(({ kind }) => kind === 'correction').map(({ body }) => body)).toMatchObject([
      { pitches: 2, by: 'ola' },
      {},
    ]);
    expect(service.entries.filter(({ kind }) => kind === 'nut-turned').map(({ body }) => body)).toMatchObject([
      { side: 'left', spring_mm: 250 },
      { side: 'right', spring_mm: 251 },
    ]);
  });

  it('whose answer was lost is closed by closing again, and nothing stands there twice', async () => {
    const card = await made();
    await write(kari, card, DONE);
    // What is asked for is done, but the answer does not come.
    plant.agent.answer = undefined;
    const asked = plant.agent.asked.length;
    const { closed, refused } = await close(kari, card);
    expect(closed).toBe(false);
    expect(refused[0]).toContain('does no harm');
    const lost = plant.agent.asked[asked];
    if (lost === undefined) throw new Error('something was asked');
    service.answer!(lost.verb, lost.message);
    plant.agent.answer = service.answer;
    expect((await close(kari, card)).closed).toBe(true);
    expect(kinds()).toEqual(['chain-removed', 'nut-turned', 'nut-turned', 'inspected', 'note']);
  }, 20_000);

  it('may be dropped instead, with why, as long as nothing of it stands in the log', async () => {
    const card = await made();
    const response = await kari.ask('POST', `/api/cards/${String(card.number)}/drop`, { why: 'the line is scrapped' });
    expect(await response.json()).toMatchObject({ state: 'dropped', ended: { by: 'kari', why: 'the line is scrapped' } });
    const done = await made();
    await write(kari, done, DONE);
    await close(kari, done);
    expect((await kari.ask('POST', `/api/cards/${String(done.number)}/drop`, { why: 'oh' })).status).toBe(409);
  });
});

describe('a web server that is started anew', () => {
  it('has every card as it was, and goes on counting', async () => {
    const card = await made();
    await write(kari, card, { blanks: { 'locked-by': 'Kari' } });
    const before = await cardOf(card.number);
    await plant.stopWeb();
    await plant.startWeb();
    expect(await cardOf(card.number)).toEqual(before);
    await plant.agent.heartbeat();
    await expect
      .poll(async () => (await (await boss.ask('GET', '/api/takeups/line1/tu1/plan')).json()) as object)
      .toMatchObject({ basis: { source: 'live' } });
    expect((await made()).number).toBe(card.number + 1);
  });
});
