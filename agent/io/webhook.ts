import { createHmac } from 'node:crypto';
import { whyOf, type PageLetter, type PagePost, type Posted } from './page-letter.js';

export interface WebhookSettings {
  readonly url: string;
  /** Asked for at every request; throws with what to do. */
  readonly secret: () => Promise<string>;
  readonly nowMs: () => number;
  readonly answerMs?: number;
}

const ANSWER_MS = 10_000;
/** Refusals that may pass: too early or too much, a timeout of theirs (RFC 9110 §15.5, RFC 6585, RFC 8470). */
const MAY_PASS = [408, 425, 429];

/** A page as a signed HTTP request, behind which any gateway to telephones or chat can stand. */
export class Webhook implements PagePost {
  constructor(private readonly settings: WebhookSettings) {}

  async send(letter: PageLetter): Promise<Posted> {
    const { url, secret, nowMs, answerMs = ANSWER_MS } = this.settings;
    try {
      const body = JSON.stringify(bodyOf(letter));
      const time = String(Math.floor(nowMs() / 1000));
      const response = await fetch(url, {
        method: 'POST',
        // Elsewhere is not where the page was meant to go.
        redirect: 'manual',
        signal: AbortSignal.timeout(answerMs),
        headers: {
          'content-type': 'application/json',
          'takeline-id': encodeURI(letter.id),
          'takeline-time': time,
          'takeline-signature': `v1=${signatureOf(time, body, await secret())}`,
        },
        body,
      });
      await response.arrayBuffer();
      const said = `HTTP ${String(response.status)} ${response.statusText}`.trim();
      if (response.ok) return { ok: true, said };
      return { ok: false, forGood: response.status >= 300 && response.status < 500 && !MAY_PASS.includes(response.status), said };
    } catch (error) {
      return { ok: false, forGood: false, said: whyOf(error) };
    }
  }
}

/**
 * HMAC-SHA-256 (RFC 2104), in hexadecimal, over the time, a full stop and the body as it was sent. Whoever verifies it should also refuse
 * a time that is more than five minutes off, and an id that was there before.
 */
function signatureOf(time: string, body: string, secret: string): string {
  return createHmac('sha256', secret).update(`${time}.${body}`).digest('hex');
}

function bodyOf({ id, address, madeMs, urgent, subject, text, detail }: PageLetter): object {
  return { version: 1, id, to: address, made: new Date(madeMs).toISOString(), urgent, subject, text, ...detail };
}
