import { afterEach, describe, expect, it, vi } from 'vitest';
import { ApiProblem, ask, askForSignIn } from '../../../../web/client/state/api.js';

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

describe('an answer that comes after somebody signed in anew', () => {
  /** Answers each request when the test says so. */
  function heldServer(): { readonly paths: readonly string[]; answer: (nth: number, response: Response) => void } {
    const held: { path: string; resolve: (response: Response) => void }[] = [];
    vi.stubGlobal('fetch', (path: string) => new Promise<Response>((resolve) => held.push({ path, resolve })));
    return {
      get paths() {
        return held.map(({ path }) => path);
      },
      answer: (nth, response) => held[nth]?.resolve(response),
    };
  }
  const settled = () => new Promise((resolve) => setImmediate(resolve));
  const nobody = () => new Response('{"title":"Nobody is signed in","detail":"Sign in."}', { ...problem, status: 401 });

  it('says nothing of the new session: what was asked is asked anew', async () => {
    const server = heldServer();
    const asked = ask('GET', '/api/alarms');
    const signIn = askForSignIn('POST', '/api/session', {});
    server.answer(1, new Response('{"name":"kari"}', json));
    await signIn;
    server.answer(0, nobody());
    await settled();
    expect(server.paths).toEqual(['/api/alarms', '/api/session', '/api/alarms']);
    server.answer(2, new Response('[1]', json));
    expect(await asked).toEqual([1]);
  });

  it('waits for a new session that is on its way', async () => {
    const server = heldServer();
    const asked = ask('GET', '/api/alarms');
    const change = askForSignIn('POST', '/api/me/password', {});
    server.answer(0, nobody());
    await settled();
    server.answer(1, new Response(null, { status: 204 }));
    await change;
    await settled();
    server.answer(2, new Response('[1]', json));
    expect(await asked).toEqual([1]);
  });

  it('does nothing in the name of another person', async () => {
    const server = heldServer();
    const asked = ask('POST', '/api/alarms/acknowledge', {});
    const signIn = askForSignIn('POST', '/api/session', {});
    server.answer(1, new Response('{"name":"kari"}', json));
    await signIn;
    server.answer(0, nobody());
    await expect(asked).rejects.toMatchObject({ status: 0, message: expect.stringContaining('It was not done') as string });
    expect(server.paths.length).toBe(2);
  });

  it('of the same session is what it says', async () => {
    const refused = await problemOf(nobody());
    expect(refused).toMatchObject({ status: 401 });
  });
});
