import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { startPlant, type Plant } from '../web/a-plant.js';
import { engineer, visitor, type Visitor } from '../web/a-visitor.js';

let plant: Plant;
let boss: Visitor;
beforeEach(async () => {
  plant = await startPlant();
  boss = await engineer(plant.web);
});
afterEach(() => plant.stop());

const signIn = async (name: string, password: string): Promise<Visitor> => {
  const somebody = visitor(plant.web.url);
  await somebody.ask('POST', '/api/session', { name, password });
  return somebody;
};
const statusOf = async (who: Visitor, method: string, path: string, body?: unknown) => (await who.ask(method, path, body)).status;

describe('roles', () => {
  it('are held to by every route', async () => {
    for (const role of ['viewer', 'technician']) await boss.ask('POST', '/api/people', { name: role, role, password: `${role}-password` });
    const acknowledge = { conveyor: 'line1', takeup: 'tu1', alarm: 'stroke-end' };
    const rows = await Promise.all(
      ['viewer', 'technician'].map(async (role) => {
        const who = await signIn(role, `${role}-password`);
        return [
          await statusOf(who, 'GET', '/api/site'),
          await statusOf(who, 'POST', '/api/alarms/acknowledge', acknowledge),
          await statusOf(who, 'GET', '/api/people'),
        ];
      }),
    );
    expect(rows).toEqual([
      [200, 403, 403],
      [200, 204, 403],
    ]);
    expect([await statusOf(boss, 'POST', '/api/alarms/acknowledge', acknowledge), await statusOf(boss, 'GET', '/api/people')]).toEqual([
      204, 200,
    ]);
  });
});

describe('people', () => {
  it('are added once, and removed with their sessions', async () => {
    const wall = { name: 'wall', role: 'viewer', password: 'only-looking' };
    expect(await statusOf(boss, 'POST', '/api/people', wall)).toBe(201);
    expect(await statusOf(boss, 'POST', '/api/people', wall)).toBe(409);
    const who = await signIn('wall', 'only-looking');
    expect(await statusOf(who, 'GET', '/api/me')).toBe(200);
    expect(await (await boss.ask('DELETE', '/api/people/wall')).json()).toEqual([{ name: 'engineer', role: 'engineer' }]);
    expect(await statusOf(who, 'GET', '/api/me')).toBe(401);
    expect(await statusOf(boss, 'DELETE', '/api/people/wall')).toBe(404);
  });

  it('do not remove themselves, so that somebody always manages', async () => {
    expect(await statusOf(boss, 'DELETE', '/api/people/engineer')).toBe(400);
  });

  it.each([
    { name: 'Wall', role: 'viewer', password: 'only-looking' },
    { name: 'wall', role: 'owner', password: 'only-looking' },
    { name: 'wall', role: 'viewer', password: 'short' },
  ])('are refused as %o', async (body) => {
    expect(await statusOf(boss, 'POST', '/api/people', body)).toBe(400);
  });
});

describe('one’s own password', () => {
  it('is changed by who knows the present one; everybody signed in with it is out, but for this browser', async () => {
    const elsewhere = await engineer(plant.web);
    const present = plant.web.firstPassword?.password;
    expect(await statusOf(boss, 'POST', '/api/me/password', { current: 'wrong', next: 'carrot-harness-9' })).toBe(401);
    expect(await statusOf(boss, 'POST', '/api/me/password', { current: present, next: 'carrot-harness-9' })).toBe(200);
    expect(await statusOf(boss, 'GET', '/api/me')).toBe(200);
    expect(await statusOf(elsewhere, 'GET', '/api/me')).toBe(401);
  });
});

describe('guessing', () => {
  it('ends after ten tries a minute', async () => {
    const thief = visitor(plant.web.url);
    const tries = Array.from({ length: 10 }, () => thief.ask('POST', '/api/session', { name: 'engineer', password: 'guess' }));
    const statuses = (await Promise.all(tries)).map(({ status }) => status);
    // One was the sign-in of this test.
    expect(statuses.filter((status) => status === 401)).toHaveLength(9);
    const refused = await thief.ask('POST', '/api/session', { name: 'engineer', password: 'guess' });
    expect(refused.status).toBe(429);
    expect(await refused.json()).toMatchObject({
      type: 'urn:takeline:problem:too-many',
      detail: expect.stringMatching(/^Try again in /) as string,
    });
  });
});
