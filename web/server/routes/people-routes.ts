import { Type } from 'typebox';
import type { PersonAnswer } from '../logic/answers.js';
import { ROLES } from '../logic/permissions.js';
import { ProblemError } from '../logic/problem.js';
import type { People } from '../people/people.js';
import type { App } from '../plugins/app.js';
import { PASSWORD, PERSON_NAME, signedIn } from './session-routes.js';

export interface PeopleRoutesParts {
  readonly people: People;
  readonly endPerson: (name: string) => void;
}

/** Who may sign in: for engineers. */
export function peopleRoutes(app: App, { people, endPerson }: PeopleRoutesParts): void {
  const list = (): readonly PersonAnswer[] => people.list().map(({ name, role }) => ({ name, role }));

  app.get('/api/people', { config: { permission: 'manage-people' } }, () => Promise.resolve(list()));

  app.post(
    '/api/people',
    {
      config: { permission: 'manage-people' },
      schema: { body: Type.Object({ name: PERSON_NAME, role: Type.Enum([...ROLES]), password: PASSWORD }) },
    },
    async (request, reply) => {
      const { name, role, password } = request.body;
      if (!(await people.add(name, role, password))) throw new ProblemError('name-taken', `Choose another name than ${name}.`);
      return reply.code(201).send(list());
    },
  );

  app.delete(
    '/api/people/:name',
    { config: { permission: 'manage-people' }, schema: { params: Type.Object({ name: Type.String() }) } },
    async (request) => {
      const { name } = request.params;
      // Whoever manages people stays, so that somebody always can.
      if (name === signedIn(request).name) throw new ProblemError('bad-request', 'Nobody removes themselves.');
      if (!(await people.remove(name))) throw new ProblemError('not-found', `There is nobody called ${name}.`);
      endPerson(name);
      return list();
    },
  );
}
