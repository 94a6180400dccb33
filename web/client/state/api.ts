import type { Problem } from '../../server/logic/problem.js';

/** What went wrong with a question to the server, in words for whoever asked. */
export class ApiProblem extends Error {
  override readonly name = 'ApiProblem';

  constructor(
    readonly status: number,
    message: string,
  ) {
    super(message);
  }
}

/** No answer at all. */
const UNREACHABLE = 0;
const NOT_FOUND = 404;

/** How often somebody signed in or out here, or changed the password: what was sent before says nothing of who is signed in now. */
let signIns = 0;
/** The change of who is signed in that is under way, or went last. */
let change: Promise<unknown> = Promise.resolve();

/**
 * Asks the server. A question that an earlier sign-in asked is asked anew by the present one.
 *
 * @throws ApiProblem where it refuses or cannot be reached
 */
export async function ask<T>(method: 'GET' | 'POST' | 'PATCH' | 'DELETE', path: string, body?: unknown): Promise<T> {
  const under = signIns;
  const response = await send(method, path, body);
  // The server may have ended the old session already, and the new one's cookie be on its way.
  if (response.status === 401) await change;
  if (under === signIns) return answerOf<T>(response);
  if (method === 'GET') return ask<T>(method, path);
  // Not sent once more by itself: it would be done in another person's name.
  if (response.status === 401) throw new ApiProblem(UNREACHABLE, 'It was not done: somebody signed in anew meanwhile. Do it once more.');
  return answerOf<T>(response);
}

/**
 * Asks for what makes this browser's session another one, or none: signing in, signing out, another password.
 *
 * @throws ApiProblem where it refuses or cannot be reached
 */
export function askForSignIn<T>(method: 'POST' | 'DELETE', path: string, body?: unknown): Promise<T> {
  const answer = send(method, path, body).then((response) => answerOf<T>(response));
  change = answer.then(
    () => (signIns += 1),
    () => undefined,
  );
  return answer;
}

async function answerOf<T>(response: Response): Promise<T> {
  if (response.status === 204) return undefined as T;
  if (response.ok) return bodyOf<T>(response);
  throw new ApiProblem(response.status, await wordsOf(response));
}

async function send(method: string, path: string, body: unknown): Promise<Response> {
  const content = body === undefined ? {} : { body: JSON.stringify(body), headers: { 'content-type': 'application/json' } };
  try {
    return await fetch(path, { method, ...content });
  } catch {
    throw new ApiProblem(UNREACHABLE, 'The Takeline server cannot be reached.');
  }
}

/** What the server said. An answer that is cut off on its way is none: whether it was done is not known, as with a dead line. */
async function bodyOf<T>(response: Response): Promise<T> {
  try {
    return (await response.json()) as T;
  } catch {
    throw new ApiProblem(UNREACHABLE, 'The answer of the Takeline server did not arrive whole.');
  }
}

async function wordsOf(response: Response): Promise<string> {
  if (response.headers.get('content-type')?.includes('application/problem+json') !== true) return `The server answered ${response.status}.`;
  const { title, detail } = await bodyOf<Problem>(response);
  // What is not there is named by the detail; the title only says that something is not.
  if (response.status === NOT_FOUND) return detail;
  return `${title}. ${detail}`;
}
