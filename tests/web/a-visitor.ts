import type { WebServerStarted } from '../../web/server/web-server.js';

/** Somebody at a browser: keeps the cookie, and says where the request comes from. */
export interface Visitor {
  readonly cookie: () => string;
  ask(method: string, path: string, body?: unknown, headers?: Readonly<Record<string, string>>): Promise<Response>;
}

export function visitor(url: string): Visitor {
  let cookie = '';
  return {
    cookie: () => cookie,
    ask: async (method, path, body, headers = {}) => {
      const response = await fetch(url + path, {
        method,
        headers: { origin: url, cookie, ...(body === undefined ? {} : { 'content-type': 'application/json' }), ...headers },
        ...(body === undefined ? {} : { body: JSON.stringify(body) }),
      });
      const [kept] = response.headers.getSetCookie();
      if (kept !== undefined) cookie = kept.split(';')[0] ?? '';
      return response;
    },
  };
}

/** Somebody who has signed in as the engineer of the first start. */
export async function engineer({ url, firstPassword }: WebServerStarted): Promise<Visitor> {
  const somebody = visitor(url);
  const response = await somebody.ask('POST', '/api/session', firstPassword);
  if (!response.ok) throw new Error(`the sign-in answered ${response.status}`);
  return somebody;
}

/** Somebody whom the engineer has given a name and a role, signed in. */
export async function colleague(url: string, boss: Visitor, name: string, role: string): Promise<Visitor> {
  await boss.ask('POST', '/api/people', { name, role, password: `${name}-password` });
  const somebody = visitor(url);
  await somebody.ask('POST', '/api/session', { name, password: `${name}-password` });
  return somebody;
}
