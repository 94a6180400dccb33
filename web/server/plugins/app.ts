import { AjvCompiler, type ValidatorCompiler } from '@fastify/ajv-compiler';
import type { TypeBoxTypeProvider } from '@fastify/type-provider-typebox';
import Fastify, {
  type FastifyBaseLogger,
  type FastifyInstance,
  type FastifySchema,
  type FastifySchemaCompiler,
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
  }).withTypeProvider<TypeBoxTypeProvider>();
  app.setValidatorCompiler(compiledWhenAsked());
  // A form on another site can send plain text without asking; JSON it cannot.
  app.removeContentTypeParser('text/plain');
  return app;
}

/**
 * Checks what a route is asked by its schema, which is compiled at the first request: there are a hundred of them, and compiled all at once
 * they are a tenth of the time from a start to the first picture.
 */
function compiledWhenAsked(): FastifySchemaCompiler<FastifySchema> {
  let compile: ValidatorCompiler | undefined;
  return (route) => {
    let compiled: ReturnType<ValidatorCompiler> | undefined;
    const check: ReturnType<FastifySchemaCompiler<FastifySchema>> = (data: unknown) => {
      // What is not asked for is refused rather than dropped, and nothing is taken for what it is not.
      compile ??= AjvCompiler()({}, { customOptions: { removeAdditional: false, coerceTypes: false } });
      compiled ??= compile(route);
      const right = compiled(data) === true;
      check.errors = compiled.errors ?? null;
      return right;
    };
    return check;
  };
}
