import type { FastifyError, FastifyReply } from 'fastify';
import { problem, ProblemError, type Problem } from '../logic/problem.js';
import type { App } from './app.js';

/** The one place where errors become answers: RFC 9457 for all, details of our own insides for nobody but the log. */
export function answerProblems(app: App, log: (line: string) => void): void {
  app.setErrorHandler<FastifyError | ProblemError>((error, request, reply) => {
    const body = problemOf(error);
    if (body.status >= 500 && !(error instanceof ProblemError)) log(`web: ${request.method} ${request.url}: ${error.message}`);
    return send(reply, body);
  });
  app.setNotFoundHandler((request, reply) => send(reply, problem('not-found', `There is no ${request.method} ${pathOf(request.url)}.`)));
}

function problemOf(error: FastifyError | ProblemError): Problem {
  if (error instanceof ProblemError) return problem(error.code, error.detail);
  const status = error.statusCode ?? 500;
  // Fastify's own words for a body or query that does not fit its schema say which field and why.
  if (status >= 400 && status < 500) return { ...problem('bad-request', error.message), status };
  return problem('internal', 'The log of the web server says what it was.');
}

function send(reply: FastifyReply, body: Problem): FastifyReply {
  return reply.code(body.status).type('application/problem+json').send(body);
}

function pathOf(url: string): string {
  return url.split('?')[0] ?? url;
}
