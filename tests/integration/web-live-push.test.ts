import { io, type Socket } from 'socket.io-client';
import { afterEach, beforeEach, describe, expect, it, onTestFinished } from 'vitest';
import type { ChangesMessage, LiveEvents, PictureMessage, ScreenEvents } from '../../web/server/logic/live-messages.js';
import { startPlant, type Plant } from '../web/a-plant.js';
import { alarmMessageOf, alarmOf, nowOf } from '../web/a-takeup.js';
import { engineer, type Visitor } from '../web/a-visitor.js';

type Screen = Socket<LiveEvents, ScreenEvents>;

let plant: Plant;
let boss: Visitor;
beforeEach(async () => {
  plant = await startPlant();
  boss = await engineer(plant.web);
});
afterEach(() => plant.stop());

function screen(cookie: string, headers: Readonly<Record<string, string>> = { origin: plant.web.url }): Screen {
  const socket: Screen = io(plant.web.url, {
    path: '/live',
    transports: ['websocket'],
    reconnection: false,
    extraHeaders: { cookie, ...headers },
  });
  onTestFinished(() => void socket.disconnect());
  return socket;
}

const refused = (socket: Screen) =>
  new Promise<Error>((resolve, reject) => socket.on('connect_error', resolve).on('connect', () => reject(new Error('let in'))));
const picture = (socket: Screen) => new Promise<PictureMessage>((resolve) => socket.once('picture', resolve));

/** All changes a screen is told, each taken at once. */
function changes(socket: Screen): ChangesMessage[] {
  const told: ChangesMessage[] = [];
  socket.on('changes', (message) => {
    told.push(message);
    socket.emit('taken');
  });
  return told;
}

describe('the live connection', () => {
  it('is refused without a session', async () => {
    expect(await refused(screen(''))).toBeInstanceOf(Error);
  });

  it('is refused from another site, session or not', async () => {
    expect(await refused(screen(boss.cookie(), { origin: 'http://elsewhere.example' }))).toBeInstanceOf(Error);
  });

  it('begins with the whole picture, retained messages and all', async () => {
    await plant.agent.now(nowOf({ alarms: [alarmOf()] }));
    await plant.agent.heartbeat();
    await expect
      .poll(async () => {
        const socket = screen(boss.cookie());
        const { takeups, standing, link } = await picture(socket);
        socket.disconnect();
        return [takeups.length, standing.length, link.broker.connected, link.agent.state];
      })
      .toEqual([1, 1, true, 'heard']);
  });

  it('tells what changes within a second, at most twenty times in one', async () => {
    const socket = screen(boss.cookie());
    const told = changes(socket);
    await picture(socket);
    for (let positionMm = 100; positionMm < 150; positionMm++) await plant.agent.now(nowOf({ positionMm }));
    await expect.poll(() => told.at(-1)?.takeups?.[0]?.positionMm, { timeout: 1_000, interval: 20 }).toBe(149);
    const times = told.map(({ atMs }) => atMs);
    expect(times.every((atMs, index) => index === 0 || atMs - (times[index - 1] ?? 0) >= 45)).toBe(true);
  });

  it('brings every screen to the same picture, whenever it came', async () => {
    const first = screen(boss.cookie());
    const told = [changes(first)];
    await picture(first);
    await plant.agent.now(nowOf({ positionMm: 101 }));
    await expect.poll(() => told[0]?.at(-1)?.takeups?.[0]?.positionMm).toBe(101);
    const late = screen(boss.cookie());
    told.push(changes(late));
    expect((await picture(late)).takeups[0]?.positionMm).toBe(101);
    await plant.agent.now(nowOf({ positionMm: 102 }));
    await expect.poll(() => told.map((all) => all.at(-1)?.takeups?.[0]?.positionMm)).toEqual([102, 102]);
  });

  it('sends no more to a screen that does not take what it was sent, and then the latest', async () => {
    const slow = screen(boss.cookie());
    const told: ChangesMessage[] = [];
    slow.on('changes', (message) => told.push(message));
    const other = screen(boss.cookie());
    const toldOther = changes(other);
    await Promise.all([picture(slow), picture(other)]);
    for (const positionMm of [101, 102, 103]) {
      await plant.agent.now(nowOf({ positionMm }));
      await expect.poll(() => toldOther.findLast(({ takeups }) => takeups !== undefined)?.takeups?.[0]?.positionMm).toBe(positionMm);
    }
    expect(told).toHaveLength(1);
    slow.emit('taken');
    await expect.poll(() => told[1]?.takeups?.[0]?.positionMm).toBe(103);
  });

  it('tells of an alarm by its own message, and when the agent ends', async () => {
    const socket = screen(boss.cookie());
    const told = changes(socket);
    await picture(socket);
    await plant.agent.heartbeat();
    await plant.agent.alarm(alarmMessageOf());
    await expect.poll(() => told.flatMap(({ standing }) => standing ?? []).map(({ alarm }) => alarm)).toContain('stroke-end');
    await plant.agent.heartbeat(false);
    await expect.poll(() => told.findLast(({ link }) => link !== undefined)?.link?.agent).toMatchObject({ state: 'silent', why: 'ended' });
    expect(told.flatMap(({ standing }) => standing ?? []).map(({ alarm }) => alarm)).toContain('agent-silent');
  });

  it('tells that the broker is gone', async () => {
    const socket = screen(boss.cookie());
    const told = changes(socket);
    await picture(socket);
    await plant.stopBroker();
    await expect.poll(() => told.findLast(({ link }) => link !== undefined)?.link?.broker.connected, { timeout: 5_000 }).toBe(false);
  });

  it('ends with the session', async () => {
    const socket = screen(boss.cookie());
    await picture(socket);
    const ended = new Promise<string>((resolve) => socket.on('disconnect', resolve));
    await boss.ask('DELETE', '/api/session');
    expect(await ended).toBe('io server disconnect');
  });
});

describe('acknowledging', () => {
  const alarm = { conveyor: 'line1', takeup: 'tu1', alarm: 'stroke-end' };

  it('is asked of the agent in the name of who did it', async () => {
    const response = await boss.ask('POST', '/api/alarms/acknowledge', { ...alarm, side: 'left' });
    expect(response.status).toBe(204);
    expect(plant.agent.asked).toMatchObject([{ verb: 'acknowledge', message: { by: 'engineer', ...alarm, side: 'left' } }]);
  });

  it('hands on what the agent says against it', async () => {
    plant.agent.answer = () => ({ ok: false, message: 'there is no such alarm standing' });
    const response = await boss.ask('POST', '/api/alarms/acknowledge', alarm);
    expect([response.status, await response.json()]).toMatchObject([409, { detail: 'There is no such alarm standing.' }]);
  });

  it('says when the agent does not answer', async () => {
    plant.agent.answer = undefined;
    expect((await boss.ask('POST', '/api/alarms/acknowledge', alarm)).status).toBe(504);
  }, 10_000);

  it('says when the broker is away', async () => {
    await plant.stopBroker();
    await expect.poll(async () => (await boss.ask('POST', '/api/alarms/acknowledge', alarm)).status, { timeout: 5_000 }).toBe(503);
  });

  it('of a silent agent needs no agent', async () => {
    await plant.agent.heartbeat(false);
    const silent = { alarm: 'agent-silent' };
    await expect.poll(async () => (await boss.ask('POST', '/api/alarms/acknowledge', silent)).status).toBe(204);
    expect((await boss.ask('POST', '/api/alarms/acknowledge', silent)).status).toBe(404);
  });
});
