import { afterAll, beforeAll, expect, it } from 'vitest';
import { linkSecret } from '../../agent/process/link-secret.js';
import { checkAckLink } from '../../agent/process/signed-link.js';
import { Ear, HandClock, startAgent, until } from './agent-plant.js';
import { agentSite, BEGIN_MS, SITE_TEXT } from './agent-site.js';
import { MailServer, wordsOf } from './mail/mail-server.js';
import { type Mosquitto, startMosquitto } from './mosquitto.js';

const SECOND = 1000;

let mosquitto: Mosquitto;
beforeAll(async () => {
  mosquitto = await startMosquitto();
});
afterAll(() => mosquitto.stop());

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

it('has the readings of a carriage near its stop arrive as a mail, and as an urgent alarm where nobody answers, until somebody does', async () => {
  const server = await MailServer.start({ tls: 'none' });
  const clock = new HandClock();
  const ear = await Ear.afresh(mosquitto.url);
  const site = agentSite(`${SITE_TEXT}${paging(server.port)}`);
  const running = await startAgent({ url: mosquitto.url, clock, site });
  const unanswered = () => ear.alarm('enamel', 'tu1', 'page-unanswered');

  await ear.readBoth('enamel/tu1', BEGIN_MS, BEGIN_MS + 14 * SECOND, 220);
  await until(() => expect(server.mails).toHaveLength(1));
  const words = wordsOf(server.mails[0]!);
  expect(words).toContain('Seen: remaining travel 10.0\u00a0mm, limit 11.5\u00a0mm');
  const token = /\/ack\/(\S+)/u.exec(words)?.[1] ?? '';
  const link = checkAckLink(token, await linkSecret(running.dataDir), clock.ms);
  const stands = ear.alarm('enamel', 'tu1', 'stroke-end');
  expect(link).toMatchObject({ ok: true, grant: { conveyor: 'enamel', takeup: 'tu1', alarm: 'stroke-end', person: 'marta' } });
  expect(link.ok && new Date(link.grant.sinceMs).toISOString()).toBe(new Date(String(stands?.since)).toISOString());

  clock.ms += 3 * SECOND;
  await until(() => expect(unanswered()).toMatchObject({ state: 'unacknowledged', priority: 'urgent', value: 3, limit: 3, unit: 's' }));
  await running.agent.stop();
  const again = await startAgent({ url: mosquitto.url, clock, site, id: running.id, dataDir: running.dataDir });
  await until(() => expect(unanswered()?.state).toBe('unacknowledged'));

  const answer = await ear.ask('acknowledge', { conveyor: 'enamel', takeup: 'tu1', alarm: 'stroke-end' });
  expect(answer).toMatchObject({ ok: true });
  await until(() => expect(unanswered()?.state).toBe('returned-unacknowledged'));
  expect(server.mails).toHaveLength(1);
  await again.agent.stop();
});
