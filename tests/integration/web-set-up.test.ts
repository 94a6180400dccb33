import { readFileSync } from 'node:fs';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { SiteCheckAnswer } from '../../web/server/logic/set-up-answers.js';
import { startPlant, type Plant } from '../web/a-plant.js';
import { colleague, engineer, visitor, type Visitor } from '../web/a-visitor.js';

const SITE = readFileSync('fixtures/replay/stroke-end/site.yaml', 'utf8');
const CHANGED = `${SITE}\n# changed\n`;

let plant: Plant;
let boss: Visitor;
beforeEach(async () => {
  plant = await startPlant({ siteText: SITE });
  plant.agent.answer = (verb) => ({ ok: true, message: 'done', detail: verb === 'site' ? { applied: false } : { signals: [] } });
  boss = await engineer(plant.web);
});
afterEach(() => plant.stop());

describe('who may set up', () => {
  const questions = [
    ['GET', '/api/signals'],
    ['GET', '/api/rota'],
    ['GET', '/api/site/text'],
    ['POST', '/api/site/check', { text: SITE }],
    ['POST', '/api/site', { text: CHANGED }],
    ['GET', '/api/site/versions'],
    ['GET', '/api/site/versions/1'],
  ] as const;
  const statusesOf = async (who: Visitor): Promise<readonly number[]> => {
    const statuses: number[] = [];
    for (const [method, path, body] of questions) statuses.push((await who.ask(method, path, body)).status);
    return statuses;
  };

  it('is held to by the server: everybody sees signals and rota, an engineer alone reads and changes the site file', async () => {
    expect(await statusesOf(visitor(plant.web.url))).toEqual([401, 401, 401, 401, 401, 401, 401]);
    for (const role of ['viewer', 'technician']) {
      expect(await statusesOf(await colleague(plant.web.url, boss, role, role))).toEqual([200, 200, 403, 403, 403, 403, 403]);
    }
    expect(plant.agent.asked.map(({ verb }) => verb)).toEqual(['signals', 'signals']);
    expect(await statusesOf(boss)).toEqual([200, 200, 200, 200, 200, 200, 404]);
    expect(plant.agent.asked.at(-1)).toMatchObject({ verb: 'site', message: { by: 'engineer', text: CHANGED } });
  });

  it('may write down a re-zeroed sensor from technician on', async () => {
    const entry = {
      time: '2026-03-02T08:00:00Z',
      conveyor: 'line1',
      takeup: 'tu1',
      side: 'left',
      kind: 'sensor-rezeroed',
      position_mm: 58.5,
    };
    const statusOf = async (who: Visitor): Promise<number> =>
      (await who.ask('POST', '/api/entries', { request: 'a'.repeat(32), entry })).status;
    expect(await statusOf(await colleague(plant.web.url, boss, 'wall', 'viewer'))).toBe(403);
    expect(plant.agent.asked).toEqual([]);
    expect(await statusOf(await colleague(plant.web.url, boss, 'kari', 'technician'))).toBeLessThan(300);
    expect(plant.agent.asked).toMatchObject([{ verb: 'service-entry', message: { by: 'kari', entry: { kind: 'sensor-rezeroed' } } }]);
  });
});

describe('the site file', () => {
  it('is looked through without being kept, every fault with its line', async () => {
    const answer = await boss.ask('POST', '/api/site/check', { text: SITE.replace('stroke_mm', 'strokes_mm') });
    const { faults } = (await answer.json()) as SiteCheckAnswer;
    expect(faults.some(({ line, meant }) => SITE.split('\n')[line - 1]?.includes('stroke_mm') === true && meant === 'stroke_mm')).toBe(
      true,
    );
    expect(plant.agent.asked).toEqual([]);
  });

  it('with a fault does not get to the agent', async () => {
    const answer = await boss.ask('POST', '/api/site', { text: 'site: 1' });
    expect(answer.status).toBe(400);
    expect(await answer.json()).toMatchObject({ detail: expect.stringMatching(/^Line 1: /) as string });
    expect(plant.agent.asked).toEqual([]);
  });

  it('that somebody else has changed meanwhile is not written over', async () => {
    expect((await boss.ask('POST', '/api/site', { text: CHANGED, before: SITE })).status).toBe(200);
    const late = await boss.ask('POST', '/api/site', { text: `${SITE}\n# another\n`, before: SITE });
    expect(late.status).toBe(409);
    expect(await late.json()).toMatchObject({ title: 'Somebody has changed the site file meanwhile' });
    expect(plant.agent.asked).toHaveLength(1);
    // It waits for a restart here, and is what the next change goes on from.
    expect(await (await boss.ask('GET', '/api/site/text')).json()).toEqual({ text: CHANGED });
  });

  it('that the agent refuses is not said to be kept', async () => {
    plant.agent.answer = () => ({ ok: false, message: 'the id of the site stays alder-point: everything is kept under it' });
    const answer = await boss.ask('POST', '/api/site', { text: CHANGED, before: SITE });
    expect(answer.status).toBe(409);
    expect(await answer.json()).toMatchObject({ detail: 'The id of the site stays alder-point: everything is kept under it.' });
    expect(await (await boss.ask('GET', '/api/site/text')).json()).toEqual({ text: SITE });
  });
});
