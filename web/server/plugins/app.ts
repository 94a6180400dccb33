import type { TypeBoxTypeProvider } from '@fastify/type-provider-typebox';
import Fastify, {
  type FastifyBaseLogger,
  type FastifyInstance,
  type RawReplyDefaultExpression,
  type RawRequestDefaultExpression,
  type RawServerDefault,
} from 'fastify';

/** The HTTP server, whose requests have the types that their schemas say. */
export type App = FastifyInstance<
  RawServerDefault,
  RawRequestDefaultExpression,
  RawReplyDefaultExpression,
  FastifyBaseLogger,
  TypeBoxTypeProvider
>;

/** Nobody sends us more than a password or a note. */
const BODY_LIMIT_BYTES = 64 * 1024;

export function createApp(): App {
  const app = Fastify({
    bodyLimit: BODY_LIMIT_BYTES,
    // A stop does not wait for screens that stay.
    forceCloseConnections: true,
    // What is not asked for is refused rather than dropped, and nothing is taken for what it is not.
    ajv: { customOptions: { removeAdditional: false, coerceTypes: false } },
  }).withTypeProvider<TypeBoxTypeProvider>();
  // A form on another site can send plain text without asking; JSON it cannot.
  app.removeContentTypeParser('text/plain');
  return app;
}
