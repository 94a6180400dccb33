import { randomInt } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { messageIdOf } from '../../agent/io/smtp.js';
import type { OutboxMessage } from '../../agent/store/page-outbox.js';
import { openSqliteReader } from '../../agent/store/sqlite-reader.js';
import { Ear } from './agent-plant.js';
import { SITE_ID } from './agent-site.js';
import { KilledAgent, patiently, stand } from './killed-agent.js';
import { headerOf, MailServer, type Mail } from './mail/mail-server.js';
import { type Mosquitto, startMosquitto } from './mosquitto.js';
import { buildCommand } from './takeline-process.js';

const FROM = 'takeline@alder-point.example';
const NEAR_STOP_MM = 225;

/** When the agent is killed, around the page about one alarm. */
const MOMENTS = [
  'while the readings are on their way',
  'when the mail server is told for whom the mail is',
  'when the mail server has the mail and has not said so',
  'as soon as the mail server has said so',
  'a moment after the mail server has said so',
  ...Array.from({ length: 5 }, () => 'at random' as const),
] as const;
type Moment = (typeof MOMENTS)[number];

let mosquitto: Mosquitto;
beforeAll(async () => {
  [mosquitto] = await Promise.all([startMosquitto(['set_tcp_nodelay true']), buildCommand()]);
});
afterAll(() => mosquitto.stop());

const conveyorOf = (round: number): string => `line${String(round)}`;

/** A conveyor for each moment, so that each has an event of its own; Marta is paged at once, Jonas three seconds after. */
function siteText(port: number): string {
  const set = 'set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 250 }';
  const conveyor = (_: unknown, round: number): string => `
  - id: ${conveyorOf(round)}
    chain: { pitch_mm: 76.2, pitches: 3200, repeat_pitches: 2, wear_limit_pct: 2 }
    takeups:
      - id: tu1
        location: after the drive
        wrap_deg: 180
        stroke_mm: 230
        spring: { free_mm: 420, rate_n_per_mm: 18, solid_mm: 150, clearance_mm: 12 }
        reference: { at: 2026-01-05T06:00:00Z, position_mm: 40 }
        sides: { left: { ${set} }, right: { ${set} } }
        limits: { stroke-end: { on_delay_s: 0 } }`;
  return `
site: { id: ${SITE_ID}, name: Alder Point Cookware, timezone: Europe/Oslo, units: metric }
conveyors:${MOMENTS.map(conveyor).join('')}
people:
  - { id: marta, name: Marta, channels: { email: marta@alder-point.example } }
  - { id: jonas, name: Jonas, channels: { email: jonas@alder-point.example } }
paging:
  group_s: 0
  ladders:
    high: { steps: [{ after_min: 0, to: marta }, { after_min: 0.05, to: jonas }], stop_after_min: 30 }
  smtp: { host: localhost, port: ${String(port)}, security: none, from: ${FROM} }
`;
}

/** The agent, the mail server, and what a kill left between the two: mails that the server has and the outbox does not know of. */
class PagedAndKilled {
  readonly agent: KilledAgent;
  /** How often a mail may come again, by Message-ID. */
  readonly mayRepeat = new Map<string, number>();
  private atRecipient: (() => void) | undefined;
  private atMail: (() => Promise<void> | undefined) | undefined;

  private constructor(
    url: string,
    readonly server: MailServer,
  ) {
    this.agent = new KilledAgent(url, siteText(server.port));
  }

  static async start(url: string): Promise<PagedAndKilled> {
    const hooks: { plant?: PagedAndKilled } = {};
    const server = await MailServer.start({
      tls: 'none',
      refuses: () => {
        hooks.plant?.atRecipient?.();
        return undefined;
      },
      onMail: () => hooks.plant?.atMail?.(),
    });
    hooks.plant = new PagedAndKilled(url, server);
    return hooks.plant;
  }

  /** Has an alarm rise and kills the agent at a moment around its page. */
  async killedAt(moment: Moment, ear: Ear, takeup: string): Promise<void> {
    const killed = new Promise<void>((resolve) => {
      const kill = (): Promise<void> => {
        this.atRecipient = this.atMail = undefined;
        return this.kill().then(resolve);
      };
      const later = (ms: number): void => void setTimeout(() => void kill(), ms);
      switch (moment) {
        case 'while the readings are on their way':
          later(randomInt(150));
          return;
        case 'when the mail server is told for whom the mail is':
          this.atRecipient = () => void kill();
          return;
        case 'when the mail server has the mail and has not said so':
          this.atMail = () => {
            void kill();
            return this.agent.kill();
          };
          return;
        case 'as soon as the mail server has said so':
          this.atMail = () => void setImmediate(() => void kill());
          return;
        case 'a moment after the mail server has said so':
          this.atMail = () => {
            later(5 + randomInt(40));
            return undefined;
          };
          return;
        case 'at random':
          later(randomInt(800));
          return;
      }
    });
    await stand(ear, takeup, NEAR_STOP_MM);
    await killed;
  }

  /** Kills the agent, and sees what the mail server has that the outbox does not know to be there. */
  async kill(): Promise<void> {
    await this.agent.kill();
    // What was on its way when the agent died the server still reads.
    await patiently(() => expect(this.server.connections).toBe(0));
    for (const { id, state } of await this.outbox()) {
      const name = messageIdOf(id, FROM);
      if (state === 'waiting' && this.taken(name).length > 0) this.mayRepeat.set(name, (this.mayRepeat.get(name) ?? 0) + 1);
    }
  }

  taken(messageId: string): readonly Mail[] {
    return this.server.mails.filter((mail) => headerOf(mail, 'Message-ID') === messageId);
  }

  async outbox(): Promise<readonly OutboxMessage[]> {
    const reader = await openSqliteReader({ dataDir: this.agent.dataDir });
    const messages = await reader.pageMessages(1000);
    await reader.stop();
    return messages;
  }
}

describe('an agent that is killed around its pages', () => {
  it(
    'has every page at the mail server in the end: one to each person of each event, and again only what the kill kept it from noting',
    { timeout: 300_000 },
    async () => {
      const ear = await Ear.afresh(mosquitto.url);
      const plant = await PagedAndKilled.start(mosquitto.url);
      const { agent, server } = plant;
      const of = (round: number, person: string) => (one: Pick<OutboxMessage, 'call' | 'person'>) =>
        one.person === person && one.call.startsWith(`${conveyorOf(round)}|tu1||stroke-end|`);

      await agent.start();
      for (const [round, moment] of MOMENTS.entries()) {
        await plant.killedAt(moment, ear, `${conveyorOf(round)}/tu1`);
        await agent.start();
        await patiently(async () => expect((await plant.outbox()).find(of(round, 'marta'))?.state, moment).toBe('delivered'));
      }
      await patiently(async () =>
        expect((await plant.outbox()).filter(({ state }) => state === 'delivered')).toHaveLength(2 * MOMENTS.length),
      );
      await plant.kill();

      const outbox = await plant.outbox();
      for (const [round, moment] of MOMENTS.entries()) {
        for (const person of ['marta', 'jonas']) {
          const pages = outbox.filter(of(round, person));
          expect(pages, `${moment}: ${person}`).toMatchObject([{ state: 'delivered' }]);
          const name = messageIdOf(pages[0]!.id, FROM);
          const copies = plant.taken(name).length;
          expect(copies, `${moment}: ${person}`).toBeGreaterThanOrEqual(1);
          expect(copies, `${moment}: ${person}`).toBeLessThanOrEqual(1 + (plant.mayRepeat.get(name) ?? 0));
        }
      }
      expect(new Set(server.mails.map((mail) => headerOf(mail, 'Message-ID'))).size).toBe(2 * MOMENTS.length);
      // The mail that the server had and had not yet said so must have come a second time: nobody could know.
      expect(server.mails.length).toBeGreaterThan(2 * MOMENTS.length);
    },
  );
});
