import { randomUUID } from 'node:crypto';
import { finished } from 'node:stream';
import type { FastifyRequest } from 'fastify';
import { Type } from 'typebox';
import type { MeAnswer } from '../logic/answers.js';
import { permissionsOf } from '../logic/permissions.js';
import { ProblemError } from '../logic/problem.js';
import type { People, Person } from '../people/people.js';
import type { App } from '../plugins/app.js';

export const PASSWORD = Type.String({ minLength: 10, maxLength: 200 });
export const PERSON_NAME = Type.String({ pattern: '^[a-z0-9][a-z0-9._-]{0,39}$' });

/** Ten tries a minute from one address: enough for a person, hopeless for guessing. */
const SIGN_IN_LIMIT = { max: 10, timeWindow: '1 minute' };

export interface SessionRoutesParts {
  readonly people: People;
  /** Ends a session and its live connections. */
  readonly endSession: (session: string) => void;
  /** Ends the live connections of a person's sessions. */
  readonly endPerson: (name: string) => void;
}

/** Signing in and out, and one's own password. */
export function sessionRoutes(app: App, { people, endSession, endPerson }: SessionRoutesParts): void {
  app.post(
    '/api/session',
    {
      config: { permission: 'anyone', rateLimit: SIGN_IN_LIMIT },
      schema: { body: Type.Object({ name: Type.String({ maxLength: 200 }), password: Type.String({ maxLength: 200 }) }) },
    },
    async (request): Promise<MeAnswer> => {
      const person = await people.verify(request.body.name.trim(), request.body.password);
      if (person === undefined) throw new ProblemError('wrong-credentials', 'See that both are typed as they were given out.');
      begin(request, person);
      return answer(person);
    },
  );

  app.delete('/api/session', { config: { permission: 'see' } }, (request, reply) => {
    const id = request.session.get('id');
    if (id !== undefined) endSession(id);
    request.session.delete();
    return reply.code(204).send();
  });

  app.get('/api/me', { config: { permission: 'see' } }, (request): Promise<MeAnswer> => {
    // Whoever asks is still there: the session runs from now.
    request.session.touch();
    return Promise.resolve(answer(signedIn(request)));
  });

  app.post(
    '/api/me/password',
    {
      config: { permission: 'change-own-password', rateLimit: SIGN_IN_LIMIT },
      schema: { body: Type.Object({ current: Type.String({ maxLength: 200 }), next: PASSWORD }) },
    },
    async (request, reply): Promise<MeAnswer> => {
      const { name } = signedIn(request);
      const verified = await people.verify(name, request.body.current);
      if (verified === undefined) throw new ProblemError('wrong-credentials', 'The present password is another one.');
      await people.setPassword(name, request.body.next);
      // Whoever knew the old password is out; this browser goes on. Its own live connection is ended with the others, but not before
      // the answer with the new cookie is out: it asks at once who is signed in, and with the old cookie that is nobody.
      finished(reply.raw, () => endPerson(name));
      const person = people.find(name);
      if (person === undefined) throw new ProblemError('not-signed-in', 'Sign in anew.');
      begin(request, person);
      return answer(person);
    },
  );
}

/** Who asks, on a route that needs a permission. */
export function signedIn(request: FastifyRequest): Person {
  if (request.person === null) throw new ProblemError('not-signed-in', 'Sign in first.');
  return request.person;
}

function begin(request: FastifyRequest, { name, stamp }: Person): void {
  request.session.set('user', name);
  request.session.set('stamp', stamp);
  request.session.set('id', randomUUID());
}

function answer({ name, role }: Person): MeAnswer {
  return { name, role, permissions: permissionsOf(role) };
}
