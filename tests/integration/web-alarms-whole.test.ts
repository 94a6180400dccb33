import { describe, expect, it } from 'vitest';
import { openSqliteReader } from '../../agent/store/sqlite-reader.js';
import type { AlarmsAnswer, ChangesAnswer, PagingAnswer } from '../../web/server/logic/answers.js';
import { colleague, engineer, type Visitor } from '../web/a-visitor.js';
import { SITE_TEXT } from './agent-site.js';
import { MailServer } from './mail/mail-server.js';
import { startWholePlant, type WholePlant } from './whole-plant.js';

const STROKE_END = { conveyor: 'enamel', takeup: 'tu1', alarm: 'stroke-end' };
/** Has never risen here, and does not. */
const SLACK = { conveyor: 'enamel', takeup: 'tu2', alarm: 'spring-slack' };
const OVEN = { conveyor: 'enamel', signal: 'enamel/furnace/temperature', alarm: 'signal-lost' };
const UNANSWERED = { conveyor: 'enamel', takeup: 'tu1', alarm: 'page-unanswered' };

/** High alarms page Marta at once, and are unanswered after three seconds. */
const paging = (port: number): string => `
people:
  - { id: marta, name: Marta, channels: { email: marta@alder-point.example } }
paging:
  link_base: http://127.0.0.1:8080
  group_s: 0
  ladders:
    high: { steps: [{ after_min: 0, to: marta }], stop_after_min: 0.05 }
  smtp: { host: localhost, port: ${String(port)}, security: none, from: takeline@alder-point.example }
`;

/** A plant and those who look at it, each signed in. */
class WatchedPlant {
  private constructor(
    readonly plant: WholePlant,
    readonly boss: Visitor,
    readonly technician: Visitor,
    readonly viewer: Visitor,
  ) {}

  static async start(): Promise<WatchedPlant> {
    const { port } = await MailServer.start({ tls: 'none' });
    const text = SITE_TEXT.replace('stroke_mm: 230', 'stroke_mm: 230\n        limits: { stroke-end: { on_delay_s: 0 } }');
    const plant = await startWholePlant(`${text}${paging(port)}`);
    const boss = await engineer(plant.web);
    const technician = await colleague(plant.web.url, boss, 'ola', 'technician');
    return new WatchedPlant(plant, boss, technician, await colleague(plant.web.url, boss, 'wall', 'viewer'));
  }

  async get<T>(path: string): Promise<T> {
    return (await (await this.viewer.ask('GET', path)).json()) as T;
  }

  /** How an alarm stands as a screen is told; undefined while it is normal. */
  async standing(named: Named) {
    return (await this.get<AlarmsAnswer>('/api/alarms')).standing.find((one) => one.alarm === named.alarm && one.takeup === named.takeup);
  }

  async becomes(named: Named, state: string | undefined): Promise<void> {
    await expect.poll(async () => (await this.standing(named))?.state, { timeout: 20_000 }).toBe(state);
  }

  /** Who was paged about an alarm of the first take-up. */
  async pagesOf({ alarm }: Named) {
    return (await this.get<PagingAnswer>('/api/alarms/paging')).alarms.find(({ id }) => id === `enamel tu1 ${alarm} `);
  }
}

interface Named {
  readonly alarm: string;
  readonly takeup?: string;
}

const post = async (who: Visitor, verb: string, body: object): Promise<number> =>
  (await who.ask('POST', `/api/alarms/${verb}`, body)).status;

describe('an alarm, from the sensors to what people do about it', { timeout: 120_000 }, () => {
  it('is paged, unanswered, acknowledged, shelved and taken out of service through the pages, and the journal has who and why', async () => {
    const watched = await WatchedPlant.start();
    const { plant, boss, technician, viewer } = watched;
    plant.carriageStandsAt('enamel/tu1', 225);
    await watched.becomes(STROKE_END, 'unacknowledged');
    await expect
      .poll(() => watched.pagesOf(STROKE_END), { timeout: 20_000 })
      .toMatchObject({
        pages: [{ person: 'Marta', channel: 'email', state: 'delivered', tries: 1, alarms: 1 }],
      });
    // Nobody answers.
    await watched.becomes(UNANSWERED, 'unacknowledged');
    expect(await watched.standing(UNANSWERED)).toMatchObject({ priority: 'urgent', value: 3, limit: 3, unit: 's' });
    expect((await watched.pagesOf(UNANSWERED))?.notes).toMatchObject([{ reason: 'about-a-page' }]);

    const why = 'sensor is changed';
    const everything = [
      ['acknowledge', STROKE_END],
      ['shelve', { ...STROKE_END, minutes: 60, why }],
      ['unshelve', STROKE_END],
      ['out-of-service', { ...STROKE_END, why }],
      ['in-service', STROKE_END],
    ] as const;
    expect(await Promise.all(everything.map(([verb, body]) => post(viewer, verb, body)))).toEqual([403, 403, 403, 403, 403]);
    expect((await watched.standing(STROKE_END))?.state).toBe('unacknowledged');

    expect(await post(technician, 'acknowledge', STROKE_END)).toBe(204);
    await watched.becomes(STROKE_END, 'acknowledged');
    expect((await watched.pagesOf(STROKE_END))?.taken).toMatchObject({ by: 'ola' });
    await watched.becomes(UNANSWERED, 'returned-unacknowledged');
    expect(await post(technician, 'acknowledge', UNANSWERED)).toBe(204);
    await watched.becomes(UNANSWERED, undefined);
    const again = await technician.ask('POST', '/api/alarms/acknowledge', STROKE_END);
    expect([again.status, ((await again.json()) as { detail: string }).detail]).toEqual([
      409,
      'No such alarm waits to be acknowledged: somebody may have been quicker.',
    ]);

    // Two alarms called once each and were acknowledged; one of them is over.
    expect(await watched.get('/api/alarms/judged?by=month')).toMatchObject({
      figures: { alarms: 2, byPriority: { urgent: 1, high: 1, medium: 0, low: 0 }, acknowledged: 2, standing: 1, unacknowledged: 0 },
    });

    expect(await post(technician, 'shelve', { ...STROKE_END, minutes: 60, why })).toBe(204);
    await watched.becomes(STROKE_END, 'shelved');
    expect(await watched.standing(STROKE_END)).toMatchObject({ shelved: { by: 'ola', why }, active: true });
    expect(await post(technician, 'unshelve', STROKE_END)).toBe(204);
    await watched.becomes(STROKE_END, 'unacknowledged');

    expect(await post(technician, 'out-of-service', { ...STROKE_END, why })).toBe(403);
    expect(await post(boss, 'out-of-service', { ...STROKE_END, why: 'line is rebuilt' })).toBe(204);
    await watched.becomes(STROKE_END, 'out-of-service');
    expect(await post(boss, 'in-service', { ...STROKE_END, why: 'rebuilt' })).toBe(204);
    await watched.becomes(STROKE_END, 'unacknowledged');

    const { events } = await watched.get<ChangesAnswer>('/api/alarms/changes?alarm=stroke-end&takeup=tu1&conveyor=enamel');
    const journal = events.toReversed().map(({ change, to, by, why: reason }) => [change, to, by, reason]);
    expect(journal).toEqual([
      ['raised', 'unacknowledged', undefined, undefined],
      ['acknowledged', 'acknowledged', 'ola', undefined],
      ['shelved', 'shelved', 'ola', why],
      ['unshelved', 'unacknowledged', 'ola', undefined],
      ['out-of-service', 'out-of-service', 'engineer', 'line is rebuilt'],
      ['in-service', 'unacknowledged', 'engineer', 'rebuilt'],
    ]);
    const reader = await openSqliteReader({ dataDir: plant.dataDir });
    const kept = await reader.alarmEvents({ alarms: ['stroke-end'], limit: 100 });
    await reader.stop();
    expect(kept.events.toReversed().map(({ change, to, by, why: reason }) => [change, to, by, reason])).toEqual(journal);
  });

  it('is set aside before it ever rises, of a take-up or of a sensor that belongs to none, shows so, and is put back', async () => {
    const watched = await WatchedPlant.start();
    const { boss, technician } = watched;
    expect(await post(technician, 'shelve', { ...SLACK, minutes: 30, why: 'nuts are turned' })).toBe(204);
    expect(await post(boss, 'out-of-service', { ...OVEN, why: 'oven is cold until spring' })).toBe(204);
    await watched.becomes(SLACK, 'shelved');
    await watched.becomes(OVEN, 'out-of-service');
    expect(await watched.standing(SLACK)).toMatchObject({ shelved: { by: 'ola', why: 'nuts are turned' } });
    expect(await watched.standing(OVEN)).toMatchObject({
      signal: OVEN.signal,
      outOfService: { by: 'engineer', why: 'oven is cold until spring' },
    });
    expect(await post(boss, 'unshelve', SLACK)).toBe(204);
    expect(await post(boss, 'in-service', OVEN)).toBe(204);
    await watched.becomes(SLACK, undefined);
    await watched.becomes(OVEN, undefined);
  });
});
