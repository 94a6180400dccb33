import { describe, expect, it } from 'vitest';
import { linkSecret } from '../../agent/process/link-secret.js';
import { checkAckLink } from '../../agent/process/signed-link.js';
import { openSqliteReader } from '../../agent/store/sqlite-reader.js';
import { START_MS } from '../flow/page/desk.js';
import { headerOf, MailServer, wordsOf } from './mail/mail-server.js';
import { alarmEvent, mailedSite, PagedAgent } from './mail/paged-agent.js';

const HOUR_S = 3600;

describe('a page', () => {
  it('reaches who is on call, with a link that acknowledges this alarm for this person, until tomorrow', async () => {
    const server = await MailServer.start({ tls: 'none' });
    const agent = await PagedAgent.start(mailedSite(server.port));
    await agent.events(alarmEvent({ side: 'left' }));
    await agent.pass(1);
    const [mail] = server.mails;
    if (mail === undefined) throw new Error('no mail came');
    expect(mail.to).toBe('marta@alder-point.example');
    const words = wordsOf(mail);
    expect(words).toContain('Where: Enamel furnace line, take-up tu1, left side (column C14, after the drive)');
    expect(words).not.toContain('Delayed');
    const token = /https:\/\/takeline\.alder-point\.example\/ack\/(\S+)/u.exec(words)?.[1] ?? '';
    const secret = await linkSecret(agent.dataDir);
    expect(checkAckLink(token, secret, agent.clock.ms)).toEqual({
      ok: true,
      grant: {
        ...{ conveyor: 'enamel', takeup: 'tu1', alarm: 'spring-solid', sinceMs: START_MS, person: 'marta' },
        expiresMs: agent.clock.ms + 24 * 3_600_000,
      },
    });
    expect(checkAckLink(token, secret, agent.clock.ms + 24 * 3_600_000)).toEqual({ ok: false, reason: 'expired' });
  });

  it('is not sent again by a restart, and the ladder goes on where it stood', async () => {
    const server = await MailServer.start({ tls: 'none' });
    const agent = await PagedAgent.start(mailedSite(server.port));
    await agent.events(alarmEvent());
    await agent.pass(1);
    await agent.restart();
    expect(server.mails.map(({ to }) => to)).toEqual(['marta@alder-point.example']);
    await agent.pass(300);
    expect(server.mails.map(({ to }) => to)).toEqual(['marta@alder-point.example', 'jonas@alder-point.example']);
    await agent.events(alarmEvent({ change: 'acknowledged', to: 'acknowledged', timeMs: START_MS + 5000, by: 'Jonas' }));
    await agent.pass(HOUR_S);
    expect(server.mails).toHaveLength(2);
  });

  it('about what was written while the pager was not there goes out at the next start', async () => {
    const server = await MailServer.start({ tls: 'none' });
    const agent = await PagedAgent.start(mailedSite(server.port));
    await agent.pager.stop();
    await agent.store.writeOutputs({ events: [alarmEvent()] });
    await agent.restart();
    await agent.pass(1);
    expect(server.mails).toHaveLength(1);
  });

  it('is not made of the past when paging begins', async () => {
    const server = await MailServer.start({ tls: 'none' });
    const agent = await PagedAgent.start(mailedSite(server.port));
    await agent.restart();
    await agent.events(alarmEvent({ alarm: 'stroke-low', priority: 'medium', to: 'shelved' }));
    await agent.pass(HOUR_S);
    expect(server.mails).toEqual([]);
  });
});

describe('a mail server that is down for an hour', () => {
  it('gets its mail afterwards, once to each, with the delay said', async () => {
    const server = await MailServer.start({ tls: 'none' });
    const { port } = server;
    await server.stop();
    const agent = await PagedAgent.start(mailedSite(port));
    await agent.events(alarmEvent());
    await agent.pass(1);
    expect(await agent.waiting()).toMatchObject([{ person: 'marta', tries: 1, said: expect.stringContaining('ECONNREFUSED') as string }]);
    for (let minute = 0; minute < 60; minute++) {
      await agent.pass(60);
      if (minute === 30) await agent.restart();
    }
    const back = await MailServer.start({ tls: 'none', port });
    await agent.pass(600);
    expect(back.mails.map(({ to }) => to).sort()).toEqual([
      'jonas@alder-point.example',
      'marta@alder-point.example',
      'stores@alder-point.example',
    ]);
    const marta = back.mails.find(({ to }) => to.startsWith('marta'));
    expect(marta && wordsOf(marta)).toMatch(/^Delayed by 1 h \d+ min: written 2026-01-06 10:00 \(Europe\/Oslo\)/u);
    expect(await agent.waiting()).toEqual([]);
    await agent.pass(24 * HOUR_S);
    expect(back.mails).toHaveLength(3);
    expect(agent.unanswered).toMatchObject([{ up: true, place: { conveyor: 'enamel', takeup: 'tu1' } }]);
  });

  it('is asked less and less often, and given up after a day with a reason that is kept', async () => {
    const agent = await PagedAgent.start(mailedSite(1));
    await agent.events(alarmEvent());
    await agent.pass(1);
    const [first] = await agent.waiting();
    for (let minute = 0; minute < 26 * 60; minute += 10) await agent.pass(600);
    const reader = await openSqliteReader({ dataDir: agent.dataDir });
    const kept = await reader.pageMessages(10);
    await reader.stop();
    expect(first).toMatchObject({ tries: 1, nextMs: START_MS + 6000 });
    expect(kept.find(({ person }) => person === 'marta')).toMatchObject({
      state: 'failed',
      said: expect.stringMatching(/^given up after \d+ tries: /u) as string,
    });
    expect(agent.said).toContainEqual(expect.stringContaining('a page to marta@alder-point.example is not delivered'));
  });
});

describe('a server that refuses the recipient', () => {
  it('has the next in line paged at once, and the wall told where it refuses all', async () => {
    const refused = new Set(['marta@alder-point.example']);
    const server = await MailServer.start({
      tls: 'none',
      refuses: (address) => (refused.has(address) ? { code: 550, message: 'no such user' } : undefined),
    });
    const agent = await PagedAgent.start(mailedSite(server.port));
    await agent.events(alarmEvent());
    await agent.pass(1);
    expect(server.mails.map(({ to }) => to)).toEqual(['jonas@alder-point.example']);
    for (const name of ['jonas', 'stores']) refused.add(`${name}@alder-point.example`);
    await agent.events(alarmEvent({ conveyor: 'dryer', timeMs: START_MS + 60_000 }));
    for (let second = 0; second < 5; second++) await agent.pass(1);
    expect(server.mails).toHaveLength(1);
    expect(agent.unanswered).toMatchObject([{ up: true, place: { conveyor: 'dryer' } }]);
  });
});

describe('a store that takes nothing', () => {
  it('holds no page up: it is sent from memory, and once only when the store is well again', async () => {
    const server = await MailServer.start({ tls: 'none' });
    const agent = await PagedAgent.start(mailedSite(server.port));
    const { pages } = agent.store;
    const write = pages.write.bind(pages);
    pages.write = () => Promise.reject(new Error('the disk is full'));
    agent.pager.take([alarmEvent()]);
    await agent.pass(0);
    await agent.pass(1);
    expect(server.mails.map(({ to }) => to)).toEqual(['marta@alder-point.example']);
    expect(agent.said).toContainEqual(expect.stringContaining('the disk is full'));
    pages.write = write;
    await agent.events(alarmEvent());
    await agent.pass(10);
    await agent.restart();
    await agent.pass(10);
    expect(server.mails).toHaveLength(1);
  });
});

describe('five hundred alarms in one second', () => {
  it('are one mail to each person, with the most pressing first and how many more there are', async () => {
    const server = await MailServer.start({ tls: 'none' });
    const agent = await PagedAgent.start(mailedSite(server.port));
    for (let batch = 0; batch < 10; batch++) {
      const events = Array.from({ length: 50 }, (_, at) =>
        alarmEvent({
          conveyor: `c${String(at)}`,
          takeup: `t${String(batch)}`,
          ...(at === 7 ? {} : { alarm: 'stroke-low', priority: 'medium' }),
        }),
      );
      await agent.events(...events);
      await agent.pass(0.1);
    }
    await agent.pass(1);
    await agent.pass(60);
    expect(server.mails.map((mail) => [mail.to, headerOf(mail, 'Subject').slice(0, 20)])).toEqual([
      ['marta@alder-point.example', '[URGENT] 500 alarms,'],
    ]);
    expect(wordsOf(server.mails[0]!)).toContain('and 480 more: see the Alarms page.');
  });
});
