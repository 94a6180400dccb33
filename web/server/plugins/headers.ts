import helmet from '@fastify/helmet';
import rateLimit from '@fastify/rate-limit';
import { judgeOrigin, originOf } from '../logic/same-origin.js';
import { ProblemError } from '../logic/problem.js';
import type { App } from './app.js';

declare module 'fastify' {
  interface FastifyContextConfig {
    /** May be asked from any page: what it needs is in the address itself, and no cookie is looked at. */
    fromAnywhere?: boolean;
  }
}

const READS: ReadonlySet<string> = new Set(['GET', 'HEAD', 'OPTIONS']);

/** Far above what screens ask for, far below what would tire the machine. */
const REQUESTS_A_MINUTE = 1200;

/** What holds for every request: a strict content policy, a limit on how many, and no change asked for from elsewhere. */
export async function guardRequests(app: App): Promise<void> {
  await app.register(helmet, {
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'none'"],
        scriptSrc: ["'self'"],
        styleSrc: ["'self'"],
        imgSrc: ["'self'"],
        fontSrc: ["'self'"],
        connectSrc: ["'self'"],
        baseUri: ["'none'"],
        formAction: ["'self'"],
        frameAncestors: ["'none'"],
      },
    },
    // These are for TLS, which a proxy in front of us ends; on plain HTTP browsers complain of them.
    strictTransportSecurity: false,
    crossOriginOpenerPolicy: false,
    originAgentCluster: false,
  });
  await app.register(rateLimit, {
    max: REQUESTS_A_MINUTE,
    timeWindow: '1 minute',
    errorResponseBuilder: (_request, { after }) => new ProblemError('too-many', `Try again in ${after}.`),
  });
  app.addHook('onRequest', (request, _reply, done) => {
    const { fromAnywhere = false } = request.routeOptions.config;
    const mayPass = fromAnywhere || READS.has(request.method) || judgeOrigin(originOf(request.headers)) !== 'other-origin';
    done(mayPass ? undefined : new ProblemError('other-origin', 'Open Takeline itself and do it there.'));
  });
}
