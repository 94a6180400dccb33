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

/**
 * Asks the server.
 *
 * @throws ApiProblem where it refuses or cannot be reached
 */
export async function ask<T>(method: 'GET' | 'POST' | 'PATCH' | 'DELETE', path: string, body?: unknown): Promise<T> {
  const response = await send(method, path, body);
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
  return `${title}. ${detail}`;
}
