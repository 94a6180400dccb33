import type { Readable } from 'node:stream';
import { Type } from 'typebox';
import { TakelineFault } from '../../../agent/process/fault.js';
import type { HistoryReader } from '../lazy-history.js';
import type { DiskAnswer, RecordedAnswer } from '../logic/answers.js';
import { ProblemError } from '../logic/problem.js';
import type { App } from '../plugins/app.js';

/** The forms of a recording that can be fetched, and what each is to a browser. */
const FORMS = { csv: 'text/csv; charset=utf-8', 'csv.gz': 'application/gzip', parquet: 'application/vnd.apache.parquet' } as const;
export type RawForm = keyof typeof FORMS;

/** Raw readings of a stretch of time, of a take-up and its conveyor, of a conveyor, or of all. */
export interface RawQuery {
  readonly fromMs: number;
  readonly toMs: number;
  readonly conveyor?: string;
  readonly takeup?: string;
}

/** Gives raw readings as a recording, while they are read. @throws TakelineFault, by rejection, where the history cannot be read */
export type ExportReadings = (query: RawQuery, form: RawForm) => Promise<Readable>;

export interface RawRoutesParts {
  readonly history: HistoryReader;
  readonly exportReadings: ExportReadings;
}

const WHOLE = Type.String({ pattern: '^\\d{1,15}$' });
const NAME = Type.String({ minLength: 1, maxLength: 200 });
const PLACE = { conveyor: Type.Optional(NAME), takeup: Type.Optional(NAME) };
const EXPORT = Type.Object({ from: WHOLE, to: WHOLE, form: Type.Optional(Type.Enum(['csv', 'csv.gz', 'parquet'])), ...PLACE });
const RECORDER = Type.Object({
  from: Type.Optional(WHOLE),
  to: Type.Optional(WHOLE),
  limit: Type.Optional(Type.String({ pattern: '^[1-9]\\d{0,2}$' })),
  ...PLACE,
});
const USUAL_RECORDED = 100;

/** Raw readings: what is kept for good, fetching a stretch, and what the store takes. */
export function rawRoutes(app: App, { history, exportReadings }: RawRoutesParts): void {
  app.get(
    '/api/recorder',
    { config: { permission: 'see' }, schema: { querystring: RECORDER } },
    async (request): Promise<RecordedAnswer> => {
      const { conveyor, takeup, from, to, limit } = request.query;
      return history.recorded({
        ...placeOf(conveyor, takeup),
        ...(from === undefined ? {} : { fromMs: Number(from) }),
        ...(to === undefined ? {} : { toMs: Number(to) }),
        limit: Number(limit ?? USUAL_RECORDED),
      });
    },
  );

  app.get('/api/export', { config: { permission: 'see' }, schema: { querystring: EXPORT } }, async (request, reply) => {
    const { from, to, form = 'csv.gz', conveyor, takeup } = request.query;
    const [fromMs, toMs] = [Number(from), Number(to)];
    if (toMs <= fromMs) throw new ProblemError('bad-request', '`to` must be after `from`.');
    if (takeup !== undefined && conveyor === undefined) throw new ProblemError('bad-request', 'Say of which conveyor the take-up is.');
    const readings = await begun(exportReadings({ fromMs, toMs, ...placeOf(conveyor, takeup) }, form));
    const name = [conveyor, takeup, fileTime(fromMs), fileTime(toMs)].filter((part) => part !== undefined).join('_');
    return reply
      .header('content-disposition', `attachment; filename="${name.replaceAll(/[^\w.-]/g, '-')}.${form}"`)
      .type(FORMS[form])
      .send(readings);
  });

  app.get('/api/disk', { config: { permission: 'see' } }, (): Promise<DiskAnswer> => history.diskUse());
}

async function begun(opening: Promise<Readable>): Promise<Readable> {
  try {
    return await opening;
  } catch (error) {
    if (error instanceof TakelineFault) throw new ProblemError('no-history', error.message);
    throw error;
  }
}

function placeOf(conveyor: string | undefined, takeup: string | undefined): Pick<RawQuery, 'conveyor' | 'takeup'> {
  return { ...(conveyor === undefined ? {} : { conveyor }), ...(takeup === undefined ? {} : { takeup }) };
}

/** `20260302T0600Z`: no colon, which a file's name must not have everywhere. */
function fileTime(ms: number): string {
  return `${new Date(ms).toISOString().slice(0, 16).replaceAll(/[-:]/g, '')}Z`;
}
