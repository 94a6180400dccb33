/**
 * What the API answers when it cannot do what it was asked: RFC 9457, `application/problem+json`.
 * Every kind has its row here, so that code, sentence and status belong together.
 */
const PROBLEMS = {
  'not-signed-in': { status: 401, title: 'Nobody is signed in', again: false },
  'wrong-credentials': { status: 401, title: 'Name and password do not go together', again: false },
  'not-allowed': { status: 403, title: 'This needs another role', again: false },
  'other-origin': { status: 403, title: 'The request comes from another site', again: false },
  'bad-request': { status: 400, title: 'The request is not as it should be', again: false },
  'not-found': { status: 404, title: 'There is no such thing here', again: false },
  'name-taken': { status: 409, title: 'Somebody of that name is there already', again: false },
  'finding-not-open': { status: 409, title: 'The finding is not open any more', again: false },
  'service-not-open': { status: 409, title: 'No service is open there', again: false },
  'card-stale': { status: 409, title: 'Somebody has written there meanwhile', again: false },
  'card-not-open': { status: 409, title: 'The job card is not open', again: false },
  'cannot-be-planned': { status: 409, title: 'It cannot be planned so', again: false },
  'site-changed': { status: 409, title: 'Somebody has changed the site file meanwhile', again: false },
  'not-kept': { status: 507, title: 'It could not be kept', again: true },
  'refused-by-agent': { status: 409, title: 'The agent did not do it', again: false },
  'too-many': { status: 429, title: 'Too many requests', again: true },
  'broker-away': { status: 503, title: 'The broker cannot be reached', again: true },
  'agent-no-answer': { status: 504, title: 'The agent does not answer', again: true },
  'no-history': { status: 503, title: 'The history cannot be read', again: true },
  'bench-refused': { status: 409, title: 'The bench cannot do that', again: false },
  'bench-busy': { status: 409, title: 'The bench is in use', again: true },
  'no-screens': { status: 503, title: 'The screens have not been built', again: false },
  internal: { status: 500, title: 'Something went wrong inside Takeline', again: true },
} as const;

export type ProblemCode = keyof typeof PROBLEMS;

/** The body of a problem+json answer. */
export interface Problem {
  readonly type: string;
  readonly title: string;
  readonly status: number;
  /** What happened this time, and what to do about it. */
  readonly detail: string;
  /** Whether the same request may work later. */
  readonly again: boolean;
}

/** The body for a kind of problem. */
export function problem(code: ProblemCode, detail: string): Problem {
  const { status, title, again } = PROBLEMS[code];
  return { type: `urn:takeline:problem:${code}`, title, status, detail, again };
}

/** A problem on its way to the error handler, which is the one place that answers. */
export class ProblemError extends Error {
  override readonly name = 'ProblemError';

  constructor(
    readonly code: ProblemCode,
    readonly detail: string,
  ) {
    super(`${code}: ${detail}`);
  }
}
