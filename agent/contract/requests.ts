import type { RequestMessage } from './messages.js';

/** A request to the agent, as its payload reads; or what is wrong with it. */
export type Request =
  | { readonly ok: true; readonly request: RequestMessage }
  | { readonly ok: false; readonly request: string | undefined; readonly message: string };

/** The names of requests become topics of their answers, so they are kept to what a topic level can hold. */
const REQUEST_ID = /^[A-Za-z0-9._-]{1,64}$/;
const LONGEST_NAME = 200;

/** Reads the payload of a request. */
export function readRequest(payload: string): Request {
  let json: unknown;
  try {
    json = JSON.parse(payload);
  } catch {
    return { ok: false, request: undefined, message: 'a request is a JSON object' };
  }
  if (typeof json !== 'object' || json === null || Array.isArray(json))
    return { ok: false, request: undefined, message: 'a request is a JSON object' };
  const { request, by } = json as Readonly<Record<string, unknown>>;
  if (typeof request !== 'string' || !REQUEST_ID.test(request)) {
    return { ok: false, request: undefined, message: 'request must name itself in up to 64 letters, digits, dots, dashes or underscores' };
  }
  if (typeof by !== 'string' || by.trim() === '' || by.length > LONGEST_NAME)
    return { ok: false, request, message: 'by must say who asks' };
  return { ok: true, request: json as RequestMessage };
}
