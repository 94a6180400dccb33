import { createHmac, timingSafeEqual } from 'node:crypto';

/** Where a page's link leads, below the base address of the site's pages: `/ack/<token>`. */
export const ACK_PATH = '/ack/';

/** What one link lets one person do: acknowledge this occurrence of this alarm, and nothing else. */
export interface AckGrant {
  /** Left out where the alarm is the site's, as when the agent is silent. */
  readonly conveyor?: string;
  readonly takeup?: string;
  readonly signal?: string;
  readonly alarm: string;
  /** When this occurrence was raised, epoch ms: a later one of the same alarm needs a link of its own. */
  readonly sinceMs: number;
  /** Id of the person who was paged. */
  readonly person: string;
  /** From this time on the link is worth nothing, epoch ms. */
  readonly expiresMs: number;
}

/** `malformed`: not such a token at all; `forged`: not made with this secret, or altered; `expired`: its time is over. */
export type LinkRefusal = 'malformed' | 'forged' | 'expired';

export type LinkReading = { readonly ok: true; readonly grant: AckGrant } | { readonly ok: false; readonly reason: LinkRefusal };

/** Goes into the sum, so that no other use of the same secret, now or later, can be taken for a link. */
const PURPOSE = 'takeline acknowledge 1';
const VERSION = '1';
const SUM_BYTES = 32;

/**
 * Makes the token of an acknowledging link: `1.<grant>.<sum>`, both parts in base64url (RFC 4648 §5), the sum HMAC-SHA-256 (RFC 2104)
 * over purpose and grant. Whoever has it can do what it grants until it expires; nobody can make or alter one without the secret.
 *
 * @param secret - at least 32 random bytes, the same where links are made and where they are checked
 */
export function signAckLink(grant: AckGrant, secret: Uint8Array): string {
  const { conveyor, takeup, signal, alarm, sinceMs, person, expiresMs } = grant;
  // A list and not an object, since a link should be short: it may travel as a text message.
  const fields = [conveyor ?? null, takeup ?? null, signal ?? null, alarm, sinceMs, person, expiresMs];
  const body = Buffer.from(JSON.stringify(fields)).toString('base64url');
  return `${VERSION}.${body}.${sumOf(body, secret).toString('base64url')}`;
}

/**
 * Checks a token. The sums are compared in constant time, and nothing of the grant is read before they agree.
 *
 * @param nowMs - by the clock of the machine that checks
 */
export function checkAckLink(token: string, secret: Uint8Array, nowMs: number): LinkReading {
  const [version, body, sum, more] = token.split('.');
  if (version !== VERSION || body === undefined || sum === undefined || more !== undefined) return refused('malformed');
  const given = Buffer.from(sum, 'base64url');
  // Base64 has several spellings of the same bytes; one spelling alone is ours.
  if (given.length !== SUM_BYTES || given.toString('base64url') !== sum) return refused('malformed');
  if (!timingSafeEqual(given, sumOf(body, secret))) return refused('forged');
  const grant = grantOf(Buffer.from(body, 'base64url').toString('utf8'));
  if (grant === undefined) return refused('malformed');
  return nowMs < grant.expiresMs ? { ok: true, grant } : refused('expired');
}

function sumOf(body: string, secret: Uint8Array): Buffer {
  return createHmac('sha256', secret).update(`${PURPOSE}\n${body}`).digest();
}

function refused(reason: LinkRefusal): LinkReading {
  return { ok: false, reason };
}

function grantOf(text: string): AckGrant | undefined {
  let fields: unknown;
  try {
    fields = JSON.parse(text);
  } catch {
    return undefined;
  }
  if (!Array.isArray(fields)) return undefined;
  const [conveyor, takeup, signal, alarm, sinceMs, person, expiresMs] = fields as readonly unknown[];
  if (typeof alarm !== 'string' || typeof sinceMs !== 'number' || typeof person !== 'string' || typeof expiresMs !== 'number')
    return undefined;
  return {
    ...(typeof conveyor === 'string' ? { conveyor } : {}),
    ...(typeof takeup === 'string' ? { takeup } : {}),
    ...(typeof signal === 'string' ? { signal } : {}),
    ...{ alarm, sinceMs, person, expiresMs },
  };
}
