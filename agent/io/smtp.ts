import { createHash } from 'node:crypto';
import nodemailer from 'nodemailer';
import { whyOf, type PageLetter, type PagePost, type Posted } from './page-letter.js';

export interface SmtpSettings {
  readonly host: string;
  readonly port: number;
  /** `starttls` refuses a server that has none; `tls` begins with it; `none` stays in the clear. */
  readonly security: 'starttls' | 'tls' | 'none';
  readonly user?: string;
  /** Asked for at every mail, so that a password that was put right needs no restart; throws with what to do. */
  readonly password: () => Promise<string>;
  /** PEM of the authority that signed the server's certificate; absent: the system's authorities. */
  readonly ca: () => Promise<string | undefined>;
  readonly from: string;
  /** A server that is slower than this at any one answer is given up for this time. */
  readonly answerMs?: number;
}

const ANSWER_MS = 15_000;
/** A server that drags on answering a little at a time is left after so many answers' time. */
const PATIENCE = 4;

/** Mail over SMTP (RFC 5321), a connection for each mail: pages are few, and a server that was away is found again by itself. */
export class Smtp implements PagePost {
  constructor(private readonly settings: SmtpSettings) {}

  /** Hands a mail to the server. Delivered once as far as SMTP can say: a repeated one carries the same Message-ID. */
  async send(letter: PageLetter): Promise<Posted> {
    const { answerMs = ANSWER_MS } = this.settings;
    try {
      const transport = await this.transport(answerMs);
      let timer: NodeJS.Timeout | undefined;
      const late = new Promise<never>((_, reject) => {
        timer = setTimeout(() => {
          reject(new Error('the mail server is too slow'));
        }, answerMs * PATIENCE);
      });
      try {
        const { response } = await Promise.race([transport.sendMail(this.mailOf(letter)), late]);
        return { ok: true, said: response };
      } finally {
        clearTimeout(timer);
        transport.close();
      }
    } catch (error) {
      return refusalOf(error);
    }
  }

  private async transport(answerMs: number) {
    const { host, port, security, user } = this.settings;
    const ca = await this.settings.ca();
    return nodemailer.createTransport({
      ...{ host, port, secure: security === 'tls', requireTLS: security === 'starttls', ignoreTLS: security === 'none' },
      ...(user === undefined ? {} : { auth: { user, pass: await this.settings.password() } }),
      ...{ connectionTimeout: answerMs, greetingTimeout: answerMs, socketTimeout: answerMs, dnsTimeout: answerMs },
      ...{ disableFileAccess: true, disableUrlAccess: true },
      tls: { minVersion: 'TLSv1.2', ...(ca === undefined ? {} : { ca }) },
    });
  }

  private mailOf({ id, address, madeMs, urgent, subject, text }: PageLetter) {
    const { from } = this.settings;
    return {
      ...{ from: { name: 'Takeline', address: from }, to: address, subject, text },
      date: new Date(madeMs),
      messageId: messageIdOf(id, from),
      priority: urgent ? ('high' as const) : ('normal' as const),
      // RFC 3834: nobody's holiday notice should answer a machine.
      headers: { 'Auto-Submitted': 'auto-generated' },
    };
  }
}

/** The Message-ID of a page, the same at every try. */
export function messageIdOf(id: string, from: string): string {
  const name = createHash('sha256').update(id).digest('hex').slice(0, 32);
  return `<${name}@${from.slice(from.lastIndexOf('@') + 1)}>`;
}

/** RFC 5321 §4.2.1: 5 as the first figure is a refusal for good. Of the sign-in and of TLS it is not: those can be put right here. */
function refusalOf(error: unknown): Posted {
  const said = whyOf(error);
  const field = (name: string): unknown => (error instanceof Error ? Object.entries(error).find(([key]) => key === name)?.[1] : undefined);
  const code = field('responseCode');
  const stage = field('code');
  const aboutMail = stage === 'EENVELOPE' || stage === 'EMESSAGE';
  return { ok: false, forGood: aboutMail && typeof code === 'number' && code >= 500 && code < 600, said };
}
