import { createHmac, timingSafeEqual } from 'node:crypto';
import { describe, expect, it, vi } from 'vitest';
import type { PageLetter } from '../../agent/io/page-letter.js';
import { messageIdOf, Smtp, type SmtpSettings } from '../../agent/io/smtp.js';
import { Webhook } from '../../agent/io/webhook.js';
import { CERTIFICATE, Gateway, headerOf, MailServer, STRANGER, wordsOf, type MailServerWays, type Request } from './mail/mail-server.js';

const MADE_MS = Date.parse('2026-01-06T09:00:00Z');
const LETTER: PageLetter = {
  ...{ id: 'enamel|tu1||spring-solid|1/1/marta/email', address: 'marta@alder-point.example', madeMs: MADE_MS, urgent: true },
  ...{ subject: '[URGENT] Enamel furnace line', text: 'Seen: spring length 150.6\u00a0mm\n', detail: { kind: 'page' } },
};

function smtp(port: number, changed: Partial<SmtpSettings> = {}): Smtp {
  return new Smtp({
    ...{ host: 'localhost', port, security: 'starttls', from: 'takeline@alder-point.example', answerMs: 2000 },
    ca: () => Promise.resolve(CERTIFICATE),
    password: () => Promise.resolve('right'),
    ...changed,
  });
}

async function sent(ways: MailServerWays, changed: Partial<SmtpSettings> = {}) {
  const server = await MailServer.start(ways);
  return { server, posted: await smtp(server.port, changed).send(LETTER) };
}

describe('mail', () => {
  it('goes over STARTTLS, marked as urgent and as a machine’s, in plain words', async () => {
    const { server, posted } = await sent({ user: { name: 'takeline', password: 'right' } }, { user: 'takeline' });
    expect(posted).toEqual({ ok: true, said: '250 taken' });
    const [mail] = server.mails;
    if (mail === undefined) throw new Error('no mail came');
    expect(mail).toMatchObject({ to: 'marta@alder-point.example', secure: true, user: 'takeline' });
    expect(headerOf(mail, 'Subject')).toBe('[URGENT] Enamel furnace line');
    expect(headerOf(mail, 'Date')).toBe('Tue, 06 Jan 2026 09:00:00 +0000');
    expect(headerOf(mail, 'Auto-Submitted')).toBe('auto-generated');
    expect(headerOf(mail, 'X-Priority')).toContain('1');
    expect(wordsOf(mail)).toContain('spring length 150.6\u00a0mm');
  });

  it('carries the same Message-ID at every try, and another for another page', async () => {
    const server = await MailServer.start();
    await smtp(server.port).send(LETTER);
    await smtp(server.port).send(LETTER);
    await smtp(server.port).send({ ...LETTER, id: 'another' });
    const ids = server.mails.map((mail) => headerOf(mail, 'Message-ID'));
    expect(ids[0]).toBe(messageIdOf(LETTER.id, 'takeline@alder-point.example'));
    expect(ids[1]).toBe(ids[0]);
    expect(ids[2]).not.toBe(ids[0]);
  });

  it('goes over TLS from the first byte, or in the clear where the site says so', async () => {
    expect((await sent({ tls: 'implicit' }, { security: 'tls' })).posted.ok).toBe(true);
    const clear = await sent({ tls: 'none' }, { security: 'none' });
    expect(clear.server.mails).toMatchObject([{ secure: false }]);
  });

  it('is not sent in the clear where STARTTLS is asked for and the server has none, and may be later', async () => {
    const { server, posted } = await sent({ tls: 'none' });
    expect(posted).toMatchObject({ ok: false, forGood: false });
    expect(server.mails).toEqual([]);
  });

  it('is not handed to a server whose certificate is not of the authority', async () => {
    const { server, posted } = await sent({}, { ca: () => Promise.resolve(STRANGER) });
    expect(posted).toMatchObject({ ok: false, forGood: false });
    expect(server.mails).toEqual([]);
  });

  it('is refused for good where the server does not know the recipient, and for now where it is only busy', async () => {
    const unknown = await sent({ refuses: () => ({ code: 550, message: 'no such user' }) });
    expect(unknown.posted).toMatchObject({ ok: false, forGood: true, said: expect.stringContaining('no such user') as string });
    const busy = await sent({ refuses: () => ({ code: 451, message: 'greylisted' }) });
    expect(busy.posted).toMatchObject({ ok: false, forGood: false, said: expect.stringContaining('greylisted') as string });
  });

  it('may go later where the password is wrong or cannot be read: both can be put right', async () => {
    const wrong = await sent({ user: { name: 'takeline', password: 'other' } }, { user: 'takeline' });
    expect(wrong.posted).toMatchObject({ ok: false, forGood: false });
    const unread = await sent({}, { user: 'takeline', password: () => Promise.reject(new Error('secrets/smtp.txt cannot be read')) });
    expect(unread.posted).toEqual({ ok: false, forGood: false, said: 'secrets/smtp.txt cannot be read' });
  });

  it('comes back in bounded time from a server that is down, and from one that says nothing', async () => {
    const server = await MailServer.start();
    await server.stop();
    expect(await smtp(server.port).send(LETTER)).toMatchObject({ ok: false, forGood: false });
    const { posted } = await sent({ mute: true }, { answerMs: 200 });
    expect(posted).toMatchObject({ ok: false, forGood: false });
  });
});

const one = (header: string | readonly string[] | undefined): string => String(header ?? '');

/** What a gateway does that verifies what it gets: written from the documents, with nothing of ours. */
function verify({ headers, body }: Request, secret: string, nowS: number, seen: Set<string>): string {
  const time = one(headers['takeline-time']);
  const id = one(headers['takeline-id']);
  if (Math.abs(nowS - Number(time)) > 300) return 'too old';
  const wanted = `v1=${createHmac('sha256', secret).update(`${time}.${body}`).digest('hex')}`;
  const given = one(headers['takeline-signature']);
  if (given.length !== wanted.length || !timingSafeEqual(Buffer.from(given), Buffer.from(wanted))) return 'not signed';
  if (seen.has(id)) return 'repeated';
  seen.add(id);
  return 'good';
}

describe('the webhook', () => {
  const webhook = (url: string, changed: object = {}): Webhook =>
    new Webhook({ url, secret: () => Promise.resolve('a secret'), nowMs: () => MADE_MS + 2000, answerMs: 2000, ...changed });

  it('is signed over time and body, so that a gateway can tell it is ours, now, and not a repetition', async () => {
    const gateway = await Gateway.start();
    expect(await webhook(gateway.url).send(LETTER)).toEqual({ ok: true, said: 'HTTP 204 No Content' });
    const [request] = gateway.requests;
    if (request === undefined) throw new Error('nothing came');
    const nowS = MADE_MS / 1000 + 3;
    const seen = new Set<string>();
    expect(verify(request, 'a secret', nowS, seen)).toBe('good');
    expect(verify(request, 'a secret', nowS, seen)).toBe('repeated');
    expect(verify(request, 'another', nowS, new Set())).toBe('not signed');
    expect(verify({ ...request, body: request.body.replace('150.6', '250.6') }, 'a secret', nowS, new Set())).toBe('not signed');
    expect(verify({ ...request, headers: { ...request.headers, 'takeline-time': String(nowS) } }, 'a secret', nowS, new Set())).toBe(
      'not signed',
    );
    expect(verify(request, 'a secret', nowS + 400, new Set())).toBe('too old');
  });

  it('carries the page in words and as data', async () => {
    const gateway = await Gateway.start();
    await webhook(gateway.url).send(LETTER);
    expect(JSON.parse(gateway.requests[0]?.body ?? '')).toEqual({
      ...{ version: 1, id: LETTER.id, to: 'marta@alder-point.example', made: '2026-01-06T09:00:00.000Z', urgent: true },
      ...{ subject: LETTER.subject, text: LETTER.text, kind: 'page' },
    });
  });

  it.each([
    [200, { ok: true }],
    [400, { ok: false, forGood: true }],
    [410, { ok: false, forGood: true }],
    [302, { ok: false, forGood: true }],
    [408, { ok: false, forGood: false }],
    [429, { ok: false, forGood: false }],
    [503, { ok: false, forGood: false }],
  ])('takes an answer of %i as it is meant, and follows nobody elsewhere', async (status, meant) => {
    const gateway = await Gateway.start();
    gateway.answer = () => status;
    expect(await webhook(gateway.url).send(LETTER)).toMatchObject(meant);
  });

  it('comes back in bounded time from a gateway that drags, one that is down, and without its secret', async () => {
    const gateway = await Gateway.start();
    gateway.answer = () => undefined;
    const later = { ok: false, forGood: false };
    expect(await webhook(gateway.url, { answerMs: 100 }).send(LETTER)).toMatchObject(later);
    expect(await webhook('http://127.0.0.1:1/').send(LETTER)).toMatchObject(later);
    const secret = vi.fn(() => Promise.reject(new Error('secrets/webhook.txt cannot be read')));
    expect(await webhook(gateway.url, { secret }).send(LETTER)).toEqual({ ...later, said: 'secrets/webhook.txt cannot be read' });
  });
});
