import { readFileSync } from 'node:fs';
import { createServer, type IncomingHttpHeaders } from 'node:http';
import type { AddressInfo } from 'node:net';
import { SMTPServer, type SMTPServerOptions } from 'smtp-server';
import { onTestFinished } from 'vitest';

/** Made for these tests: for localhost, signed by itself. */
export const CERTIFICATE = readFileSync(new URL('certificate.pem', import.meta.url), 'utf8');
/** As above, of somebody else. */
export const STRANGER = readFileSync(new URL('stranger.pem', import.meta.url), 'utf8');
const KEY = readFileSync(new URL('key.pem', import.meta.url), 'utf8');

/** A mail as the server took it. */
export interface Mail {
  readonly to: string;
  readonly text: string;
  readonly secure: boolean;
  readonly user: string | undefined;
}

/** The value of a header, unfolded. */
export function headerOf({ text }: Pick<Mail, 'text'>, name: string): string {
  const head = text.slice(0, text.indexOf('\r\n\r\n')).replaceAll(/\r\n[ \t]+/gu, ' ');
  return (
    head
      .split('\r\n')
      .find((line) => line.toLowerCase().startsWith(`${name.toLowerCase()}: `))
      ?.slice(name.length + 2) ?? ''
  );
}

/** The words of a mail, out of quoted-printable (RFC 2045 §6.7) where it is so. */
export function wordsOf({ text }: Pick<Mail, 'text'>): string {
  const body = text.slice(text.indexOf('\r\n\r\n') + 4);
  const encoding = headerOf({ text }, 'Content-Transfer-Encoding');
  if (encoding === 'base64') return Buffer.from(body, 'base64').toString('utf8');
  if (encoding !== 'quoted-printable') return body;
  const bytes = body.replaceAll(/=\r\n/gu, '').replaceAll(/=([0-9A-F]{2})/gu, (_, hex: string) => String.fromCharCode(parseInt(hex, 16)));
  return Buffer.from(bytes, 'latin1').toString('utf8');
}

/** How a mail server behaves. */
export interface MailServerWays {
  /** `none`: it does not offer STARTTLS. */
  readonly tls?: 'starttls' | 'implicit' | 'none';
  readonly user?: { readonly name: string; readonly password: string };
  /** What it answers to a recipient; undefined where it takes mail for it. */
  readonly refuses?: (address: string) => { readonly code: number; readonly message: string } | undefined;
  /** It greets and then says nothing. */
  readonly mute?: boolean;
  readonly port?: number;
  /** Called with each mail, before it is said to be taken; what it gives back is waited for. */
  readonly onMail?: (mail: Mail) => Promise<void> | undefined;
}

/** A real SMTP server that keeps what it gets. */
export class MailServer {
  private constructor(
    private readonly server: SMTPServer,
    readonly port: number,
    readonly mails: readonly Mail[],
  ) {}

  static async start(ways: MailServerWays = {}): Promise<MailServer> {
    const { tls = 'starttls', user, refuses, mute, onMail } = ways;
    const mails: Mail[] = [];
    const options: SMTPServerOptions = {
      ...{ key: KEY, cert: CERTIFICATE, secure: tls === 'implicit', authOptional: user === undefined },
      ...(tls === 'none' ? { disabledCommands: ['STARTTLS'] } : {}),
      ...{ disableReverseLookup: true, closeTimeout: 50, logger: false },
      onAuth: ({ username, password }, _session, answer) => {
        if (user !== undefined && username === user.name && password === user.password) answer(null, { user: username });
        else answer(Object.assign(new Error('that is not the password'), { responseCode: 535 }));
      },
      onMailFrom: (_address, _session, answer) => {
        if (mute !== true) answer();
      },
      onRcptTo: ({ address }, _session, answer) => {
        const refusal = refuses?.(address);
        if (refusal) answer(Object.assign(new Error(refusal.message), { responseCode: refusal.code }));
        else answer();
      },
      onData: (stream, session, answer) => {
        const parts: Buffer[] = [];
        stream.on('data', (part: Buffer) => parts.push(part));
        stream.on('end', () => {
          const to = session.envelope.rcptTo.map(({ address }) => address).join(',');
          const mail: Mail = {
            to,
            text: Buffer.concat(parts).toString('utf8'),
            secure: session.secure,
            user: typeof session.user === 'string' ? session.user : undefined,
          };
          mails.push(mail);
          void Promise.resolve(onMail?.(mail)).then(() => {
            answer(null, 'taken');
          });
        });
      },
    };
    const server = new SMTPServer(options);
    // A client that breaks off, or does not like the certificate, is no failure of the server.
    server.on('error', () => undefined);
    await new Promise<void>((resolve) => server.listen(ways.port ?? 0, '127.0.0.1', resolve));
    const started = new MailServer(server, (server.server.address() as AddressInfo).port, mails);
    onTestFinished(() => started.stop());
    return started;
  }

  /** How many clients it is talking to. */
  get connections(): number {
    return this.server.connections.size;
  }

  stop(): Promise<void> {
    return new Promise((resolve) => {
      this.server.close(() => {
        resolve();
      });
    });
  }
}

/** What a gateway got. */
export interface Request {
  readonly headers: IncomingHttpHeaders;
  readonly body: string;
}

/** A real HTTP server that keeps what it gets and answers as told. */
export class Gateway {
  readonly requests: Request[] = [];
  answer: (request: Request) => number | undefined = () => 204;
  private readonly server = createServer((incoming, outgoing) => {
    let body = '';
    incoming.setEncoding('utf8').on('data', (part: string) => (body += part));
    incoming.on('end', () => {
      const request = { headers: incoming.headers, body };
      this.requests.push(request);
      const status = this.answer(request);
      // Without an answer it drags for ever.
      if (status !== undefined) outgoing.writeHead(status, status === 302 ? { location: 'http://127.0.0.1:1/' } : {}).end();
    });
  });

  static async start(): Promise<Gateway> {
    const gateway = new Gateway();
    const { server } = gateway;
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
    onTestFinished(() => {
      server.closeAllConnections();
      server.close();
    });
    return gateway;
  }

  get url(): string {
    return `http://127.0.0.1:${String((this.server.address() as AddressInfo).port)}/pages`;
  }
}
