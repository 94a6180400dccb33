import cookie from '@fastify/cookie';
import secureSession, { type Session } from '@fastify/secure-session';
import type { Clock } from '../../../agent/process/clock.js';
import { EndedSessions } from '../logic/ended-sessions.js';
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
  readonly clock: Clock;
}

export interface Sessions {
  /** Who is behind a `Cookie` header, for the live connection, which does not come through a route. */
  readonly whoIs: (cookieHeader: string) => SignedIn | undefined;
  /** Makes a session worth nothing, whoever has a copy of its cookie. */
  readonly end: (session: string) => void;
}

/**
 * Sessions in a sealed cookie, and the permission of every route under `/api/`: one that names none is a fault of ours
 * that stops the start.
 */
export async function keepSessions(app: App, { people, key, siteId, clock }: SessionOptions): Promise<Sessions> {
  const cookieName = `takeline-${siteId}`;
  const ended = new EndedSessions(SESSION_S * 1000);
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
  const signedIn = (session: Session | null): SignedIn | undefined => {
    const [user, stamp, id] = [session?.get('user'), session?.get('stamp'), session?.get('id')];
    if (user === undefined || id === undefined || ended.has(id)) return undefined;
    const person = people.find(user);
    return person === undefined || person.stamp !== stamp ? undefined : { person, session: id };
  };
  app.addHook('onRequest', (request, _reply, done) => {
    request.person = signedIn(request.session)?.person ?? null;
    done(refusal(request.person, request.routeOptions.config.permission));
  });
  return {
    whoIs: (header) => {
      const sealed = app.parseCookie(header)[cookieName];
      return sealed === undefined ? undefined : signedIn(app.decodeSecureSession(sealed));
    },
    end: (session) => ended.end(session, clock.nowMs()),
  };
}

function refusal(person: Person | null, permission: Permission | 'anyone' | undefined): ProblemError | undefined {
  if (permission === undefined || permission === 'anyone') return undefined;
  if (person === null) return new ProblemError('not-signed-in', 'Sign in first.');
  if (may(person.role, permission)) return undefined;
  return new ProblemError('not-allowed', `A ${person.role} may not ${permission.replaceAll('-', ' ')}.`);
}
