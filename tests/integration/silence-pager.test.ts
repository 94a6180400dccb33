import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import type { UnansweredOut } from '../../agent/flow/page/page-output.js';
import { SilencePager } from '../../web/server/agent-silent/silence-pager.js';
import type { SilenceEvent } from '../../web/server/logic/own-alarm.js';
import { SilentAlarm } from '../../web/server/logic/silent-alarm.js';
import { START_MS } from '../flow/page/desk.js';
import { MailServer, wordsOf } from './mail/mail-server.js';
import { mailedSite } from './mail/paged-agent.js';

it('pages about a silent agent once, through a restart and a mail server that was away, and nobody else once it is acknowledged', async () => {
  const dataDir = mkdtempSync(join(tmpdir(), 'takeline-silence-'));
  onTestFinished(() => {
    rmSync(dataDir, { recursive: true });
  });
  const server = await MailServer.start({ tls: 'none' });
  const { port } = server;
  await server.stop();
  const clock = { ms: START_MS, nowMs: () => clock.ms };
  const open = (past: number): Promise<SilencePager> =>
    SilencePager.open({ site: mailedSite(port), dataDir, clock, log: () => undefined, tellUnanswered }, past);
  const unanswered: boolean[] = [];
  const tellUnanswered = ({ up }: UnansweredOut): Promise<void> => Promise.resolve(void unanswered.push(up));
  const alarm = new SilentAlarm();
  const events: SilenceEvent[] = [];
  const raised = alarm.judge({ state: 'silent', sinceMs: START_MS - 31_000, why: 'no-heartbeat' }, START_MS);
  if (raised === undefined) throw new Error('the alarm did not rise');

  let pager = await open(0);
  events.push(raised);
  await pager.wake(events);
  clock.ms += 31_000;
  await pager.wake(events);
  // Killed, and started anew: the alarm is known, and the page waits.
  pager = await open(events.length);
  clock.ms += 10 * 60_000;
  const back = await MailServer.start({ tls: 'none', port });
  await pager.wake(events);
  await pager.wake(events);
  expect(back.mails.map(({ to }) => to)).toEqual(['marta@alder-point.example']);
  expect(wordsOf(back.mails[0]!)).toMatch(
    /^Delayed by 10 min[^]*The agent that watches the take-ups does not answer\.[^]*silent for 31\u00a0s, limit 30\u00a0s/u,
  );

  expect(pager.known.messages).toMatchObject([
    { person: 'marta', channel: 'email', state: 'delivered', about: { alarms: [{ alarm: 'agent-silent' }] } },
  ]);
  const acknowledged = alarm.acknowledge('Marta', clock.ms);
  if (acknowledged) events.push(acknowledged);
  clock.ms += 2 * 3_600_000;
  await pager.wake(events);
  expect(back.mails).toHaveLength(1);
});

it('makes it an alarm that nobody took the page, once through a restart, until somebody acknowledges', async () => {
  const dataDir = mkdtempSync(join(tmpdir(), 'takeline-silence-'));
  onTestFinished(() => {
    rmSync(dataDir, { recursive: true });
  });
  const { port } = await MailServer.start({ tls: 'none' });
  const clock = { ms: START_MS, nowMs: () => clock.ms };
  const told: boolean[] = [];
  const tellUnanswered = ({ up }: UnansweredOut): Promise<void> => Promise.resolve(void told.push(up));
  const open = (): Promise<SilencePager> =>
    SilencePager.open({ site: mailedSite(port), dataDir, clock, log: () => undefined, tellUnanswered }, 0);
  const alarm = new SilentAlarm();
  const events: SilenceEvent[] = [];
  const happens = (event: SilenceEvent | undefined): void => {
    if (event !== undefined) events.push(event);
  };
  happens(alarm.judge({ state: 'silent', sinceMs: START_MS - 31_000, why: 'no-heartbeat' }, START_MS));
  let pager = await open();
  for (let minutes = 0; minutes < 24 * 60 && told.length === 0; minutes += 10) {
    await pager.wake(events);
    clock.ms += 10 * 60_000;
  }
  expect(told).toEqual([true]);
  pager = await open();
  await pager.wake(events);
  expect(told).toEqual([true]);
  happens(alarm.acknowledge('Marta', clock.ms));
  await pager.wake(events);
  expect(told).toEqual([true, false]);
});
