import { afterEach, describe, expect, it, vi } from 'vitest';
import { ApiProblem, ask } from '../../../../web/client/state/api.js';

afterEach(() => vi.unstubAllGlobals());

/** What comes of a question to which the server answers so. */
async function problemOf(response: Response | Error): Promise<unknown> {
  vi.stubGlobal('fetch', () => (response instanceof Error ? Promise.reject(response) : Promise.resolve(response)));
  return ask('GET', '/api/me').then(
    () => 'none',
    (error: unknown) => error,
  );
}
const json = { headers: { 'content-type': 'application/json' } };
const problem = { status: 409, headers: { 'content-type': 'application/problem+json' } };

describe('a question to the server', () => {
  it('is answered', async () => {
    vi.stubGlobal('fetch', () => Promise.resolve(new Response('{"name":"kari"}', json)));
    expect(await ask('GET', '/api/me')).toEqual({ name: 'kari' });
  });

  it('has the words of a refusal', async () => {
    const refusal = await problemOf(new Response('{"title":"Not taken","detail":"Check the count."}', problem));
    expect(refusal).toEqual(new ApiProblem(409, 'Not taken. Check the count.'));
  });

  // Nobody knows then whether it was done: like a dead line it is tried again, never taken for a fault of the screen.
  it.each([
    ['whose answer is cut off', new Response('{"name":"ka', json)],
    ['whose refusal is cut off', new Response('{"title":"Not ta', problem)],
    ['that something else than the server answers', new Response('<html>Back soon</html>', { headers: { 'content-type': 'text/html' } })],
    ['with no line', new TypeError('Failed to fetch')],
  ])('%s has no answer', async (_what, response) => {
    const unknown = await problemOf(response);
    expect(unknown).toBeInstanceOf(ApiProblem);
    expect(unknown).toMatchObject({ status: 0 });
  });
});
