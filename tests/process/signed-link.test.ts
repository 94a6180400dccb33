import { createHmac } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { checkAckLink, signAckLink, type AckGrant } from '../../agent/process/signed-link.js';

const SECRET = Buffer.alloc(32, 7);
const NOW_MS = Date.parse('2026-02-03T04:05:06Z');
const GRANT: AckGrant = {
  conveyor: 'enamel',
  takeup: 'tu1',
  alarm: 'spring-solid',
  sinceMs: NOW_MS - 60_000,
  person: 'marta',
  expiresMs: NOW_MS + 86_400_000,
};

describe('an acknowledging link', () => {
  it('grants what it was made for, to whom it was sent', () => {
    expect(checkAckLink(signAckLink(GRANT, SECRET), SECRET, NOW_MS)).toEqual({ ok: true, grant: GRANT });
  });

  it('carries the sum that RFC 2104 gives, so that another program can make the same', () => {
    const [version, body, sum] = signAckLink(GRANT, SECRET).split('.');
    expect(version).toBe('1');
    expect(sum).toBe(
      createHmac('sha256', SECRET)
        .update(`takeline acknowledge 1\n${String(body)}`)
        .digest('base64url'),
    );
  });

  it('needs no escaping in an address', () => {
    fc.assert(
      fc.property(fc.string(), fc.string(), (conveyor, person) => {
        const token = signAckLink({ ...GRANT, conveyor, person }, SECRET);
        expect(encodeURIComponent(token)).toBe(token);
        expect(checkAckLink(token, SECRET, NOW_MS)).toMatchObject({ ok: true, grant: { conveyor, person } });
      }),
    );
  });

  it('is worth nothing from the moment it expires', () => {
    const token = signAckLink(GRANT, SECRET);
    expect(checkAckLink(token, SECRET, GRANT.expiresMs - 1)).toMatchObject({ ok: true });
    expect(checkAckLink(token, SECRET, GRANT.expiresMs)).toEqual({ ok: false, reason: 'expired' });
  });

  it('is refused as forged under another secret, or with another grant under its sum', () => {
    const token = signAckLink(GRANT, SECRET);
    expect(checkAckLink(token, Buffer.alloc(32, 8), NOW_MS)).toEqual({ ok: false, reason: 'forged' });
    const other = signAckLink({ ...GRANT, alarm: 'stroke-end' }, SECRET).split('.');
    const mixed = [other[0], other[1], token.split('.')[2]].join('.');
    expect(checkAckLink(mixed, SECRET, NOW_MS)).toEqual({ ok: false, reason: 'forged' });
  });

  it('is refused whichever single character is altered', () => {
    const token = signAckLink(GRANT, SECRET);
    for (let at = 0; at < token.length; at++) {
      const altered = `${token.slice(0, at)}${token[at] === 'x' ? 'y' : 'x'}${token.slice(at + 1)}`;
      expect(checkAckLink(altered, SECRET, NOW_MS).ok, `character ${at}`).toBe(false);
    }
  });

  it('says of anything else that it is no such link', () => {
    const token = signAckLink(GRANT, SECRET);
    for (const text of ['', '1', '1..', '2' + token.slice(1), `${token}.x`, `${token}=`, token.slice(0, -1), 'a b.c d.e f']) {
      expect(checkAckLink(text, SECRET, NOW_MS), text).toEqual({ ok: false, reason: 'malformed' });
    }
    fc.assert(fc.property(fc.string(), (text) => !checkAckLink(text, SECRET, NOW_MS).ok));
  });

  it('grants the site an alarm of its own, as when the agent is silent', () => {
    const grant: AckGrant = { alarm: 'agent-silent', sinceMs: 1, person: 'marta', expiresMs: NOW_MS + 1 };
    expect(checkAckLink(signAckLink(grant, SECRET), SECRET, NOW_MS)).toEqual({ ok: true, grant });
  });
});
