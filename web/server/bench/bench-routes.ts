import type { Readable } from 'node:stream';
import { Type } from 'typebox';
import type { BenchDifferences, BenchMoment, BenchResult, BenchTraces, ForeignPreview } from '../../../agent/contract/bench.js';
import type { BenchKept } from '../../../agent/contract/bench-questions.js';
import { ProblemError } from '../logic/problem.js';
import type { App } from '../plugins/app.js';
import { signedIn } from '../routes/session-routes.js';
import type { BenchSessionAnswer, FixtureAnswer, UploadAnswer } from './bench-answers.js';
import type { BenchDesk } from './bench-desk.js';
import { MOST_UPLOAD_BYTES } from './limited-upload.js';

const MS = Type.Number({ minimum: -8.64e15, maximum: 8.64e15 });
const WHOLE = Type.String({ pattern: '^-?\\d{1,15}$' });
const NAME = Type.String({ minLength: 1, maxLength: 200 });
const YAML = Type.String({ maxLength: 1024 * 1024 });
const RUN = Type.Union([Type.Literal('a'), Type.Literal('b')]);
const SETTINGS = Type.Object(
  {
    spikeK: Type.Optional(Type.Number({ minimum: 0.5, maximum: 100 })),
    smoothingS: Type.Optional(Type.Number({ exclusiveMinimum: 0, maximum: 86_400 })),
    windowMin: Type.Optional(Type.Number({ minimum: 1, maximum: 1440 })),
    fewestReadings: Type.Optional(Type.Integer({ minimum: 2, maximum: 700 })),
    jumpMm: Type.Optional(Type.Number({ exclusiveMinimum: 0, maximum: 1000 })),
  },
  { additionalProperties: false },
);
const OPENING = Type.Object(
  {
    source: Type.Union([
      Type.Object({ kind: Type.Literal('fixture'), name: NAME }, { additionalProperties: false }),
      Type.Object({ kind: Type.Literal('upload'), upload: NAME, mapText: Type.Optional(YAML) }, { additionalProperties: false }),
      Type.Object({ kind: Type.Literal('history'), fromMs: MS, toMs: MS }, { additionalProperties: false }),
    ]),
    siteText: Type.Optional(YAML),
    serviceText: Type.Optional(YAML),
    settings: Type.Optional(SETTINGS),
  },
  { additionalProperties: false },
);
const ID = Type.Object({ id: NAME });
const MB = 1024 * 1024;
const MOST_POINTS = 4000;

const config = { permission: 'use-bench' } as const;

/** The bench: recordings come in, are replayed beside the live work, and are asked about. */
export function benchRoutes(app: App, desk: BenchDesk): void {
  app.get('/api/bench/fixtures', { config }, (): Promise<readonly FixtureAnswer[]> => desk.fixtures());

  // A recording is taken in as it comes: it is never held in memory whole.
  app.addContentTypeParser('application/octet-stream', (_request, body, done) => {
    done(null, body);
  });
  app.post(
    '/api/bench/recordings',
    { config, bodyLimit: MOST_UPLOAD_BYTES, schema: { querystring: Type.Object({ name: NAME }) } },
    async (request): Promise<UploadAnswer> => {
      if (!isStream(request.body)) throw new ProblemError('bad-request', 'Send the recording as application/octet-stream.');
      return { upload: await desk.takeIn(request.query.name, request.body) };
    },
  );

  app.post(
    '/api/bench/preview',
    {
      config,
      bodyLimit: 4 * MB,
      schema: {
        body: Type.Object({ upload: NAME, mapText: Type.Optional(YAML), siteText: Type.Optional(YAML) }, { additionalProperties: false }),
      },
    },
    (request): Promise<ForeignPreview> => {
      const { upload, mapText, siteText } = request.body;
      return desk.preview(upload, mapText, siteText);
    },
  );

  app.post('/api/bench/sessions', { config, bodyLimit: 4 * MB, schema: { body: OPENING } }, (request): Promise<BenchSessionAnswer> =>
    desk.open(signedIn(request).name, request.body, request.body.settings ?? {}),
  );

  app.get('/api/bench/sessions/:id', { config, schema: { params: ID } }, (request): Promise<BenchSessionAnswer> =>
    Promise.resolve(desk.status(signedIn(request).name, request.params.id)),
  );

  app.delete('/api/bench/sessions/:id', { config, schema: { params: ID } }, async (request, reply) => {
    await desk.closeFor(signedIn(request).name, request.params.id);
    return reply.code(204).send();
  });

  app.post(
    '/api/bench/sessions/:id/second',
    {
      config,
      bodyLimit: 2 * MB,
      schema: { params: ID, body: Type.Object({ siteText: Type.Optional(YAML), settings: SETTINGS }, { additionalProperties: false }) },
    },
    async (request, reply) => {
      await desk.ask(signedIn(request).name, request.params.id, { ask: 'second', variant: request.body });
      return reply.code(204).send();
    },
  );

  app.get(
    '/api/bench/sessions/:id/result',
    { config, schema: { params: ID, querystring: Type.Object({ run: RUN }) } },
    (request): Promise<BenchResult> =>
      desk.ask<BenchResult>(signedIn(request).name, request.params.id, { ask: 'result', run: request.query.run }),
  );

  app.get('/api/bench/sessions/:id/differences', { config, schema: { params: ID } }, (request): Promise<BenchDifferences> =>
    desk.ask<BenchDifferences>(signedIn(request).name, request.params.id, { ask: 'differences' }),
  );

  app.get(
    '/api/bench/sessions/:id/traces',
    {
      config,
      schema: {
        params: ID,
        querystring: Type.Object({ run: RUN, conveyor: NAME, takeup: NAME, fromMs: WHOLE, toMs: WHOLE, points: WHOLE }),
      },
    },
    (request): Promise<BenchTraces> => {
      const { run, conveyor, takeup } = request.query;
      const [fromMs, toMs] = [Number(request.query.fromMs), Number(request.query.toMs)];
      if (!(toMs > fromMs)) throw new ProblemError('bad-request', '`toMs` must be after `fromMs`.');
      const points = Math.min(Math.max(Number(request.query.points), 2), MOST_POINTS);
      return desk.ask<BenchTraces>(signedIn(request).name, request.params.id, {
        ...{ ask: 'traces', run, conveyor, takeup, fromMs, toMs, points },
      });
    },
  );

  app.get(
    '/api/bench/sessions/:id/moment',
    { config, schema: { params: ID, querystring: Type.Object({ run: RUN, timeMs: WHOLE }) } },
    (request): Promise<BenchMoment> => {
      const { run, timeMs } = request.query;
      return desk.ask<BenchMoment>(signedIn(request).name, request.params.id, { ask: 'moment', run, timeMs: Number(timeMs) });
    },
  );

  app.post(
    '/api/bench/sessions/:id/keep',
    {
      config,
      schema: {
        params: ID,
        body: Type.Object(
          { name: NAME, teaches: Type.Optional(Type.String({ minLength: 1, maxLength: 1000 })), fromMs: MS, toMs: MS },
          { additionalProperties: false },
        ),
      },
    },
    (request): Promise<BenchKept> => desk.keep(signedIn(request).name, request.params.id, request.body),
  );
}

function isStream(body: unknown): body is Readable {
  return typeof body === 'object' && body !== null && 'pipe' in body;
}
