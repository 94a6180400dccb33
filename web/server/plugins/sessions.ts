import cookie from '@fastify/cookie';
import secureSession from '@fastify/secure-session';
import { may, type Permission } from '../logic/permissions.js';
import { ProblemError } from '../logic/problem.js';
import type { People, Person } from '../people/people.js';
import type { App } from './app.js';

declare module '@fastify/secure-session' {
  interface SessionData {
    user: string;
    /** The person's stamp when the session began. */
    stamp: string;
    /** Names the session, so that signing out ends its live connections and no others. */
    id: string;
  }
}

declare module 'fastify' {
  interface FastifyContextConfig {
    /** What one must be allowed to use the route; `anyone` needs no session. */
    permission?: Permission | 'anyone';
  }
  interface FastifyRequest {
    /** Who asks; null where nobody is signed in. */
    person: Person | null;
  }
}

/** A wall that nobody touches stays signed in for as long as its screen asks for something within this time. */
const SESSION_S = 7 * 24 * 3600;

/** Who is behind a session. */
export interface SignedIn {
  readonly person: Person;
  readonly session: string;
}

export interface SessionOptions {
  readonly people: People;
  readonly key: Buffer;
  /** Part of the cookie's name: cookies do not tell apart two sites on one machine by their ports. */
  readonly siteId: string;
}

/**
 * Sessions in a sealed cookie, and the permission of every route under `/api/`: one that names none is a fault of ours
 * that stops the start.
 *
 * @returns who is behind a `Cookie` header, for the live connection, which does not come through a route
 */
export async function keepSessions(app: App, { people, key, siteId }: SessionOptions): Promise<(header: string) => SignedIn | undefined> {
  const cookieName = `takeline-${siteId}`;
  await app.register(cookie);
  await app.register(secureSession, {
    key,
    cookieName,
    expiry: SESSION_S,
    cookie: { path: '/', httpOnly: true, sameSite: 'strict', secure: 'auto', maxAge: SESSION_S },
  });
  app.decorateRequest('person', null);
  app.addHook('onRoute', ({ url, config }) => {
    if (url.startsWith('/api/') && config?.permission === undefined) throw new Error(`${url} names no permission`);
  });
  const personOf = (user: string | undefined, stamp: string | undefined): Person | undefined => {
    const person = user === undefined ? undefined : people.find(user);
    return person?.stamp === stamp ? person : undefined;
  };
  app.addHook('onRequest', (request, _reply, done) => {
    request.person = personOf(request.session.get('user'), request.session.get('stamp')) ?? null;
    done(refusal(request.person, request.routeOptions.config.permission));
  });
  return (header) => {
    const sealed = app.parseCookie(header)[cookieName];
    const session = sealed === undefined ? null : app.decodeSecureSession(sealed);
    const person = personOf(session?.get('user'), session?.get('stamp'));
    const id = session?.get('id');
    return person === undefined || id === undefined ? undefined : { person, session: id };
  };
}

function refusal(person: Person | null, permission: Permission | 'anyone' | undefined): ProblemError | undefined {
  if (permission === undefined || permission === 'anyone') return undefined;
  if (person === null) return new ProblemError('not-signed-in', 'Sign in first.');
  if (may(person.role, permission)) return undefined;
  return new ProblemError('not-allowed', `A ${person.role} may not ${permission.replaceAll('-', ' ')}.`);
}
