import { describe, expect, it } from 'vitest';
import type { AnswerMessage } from '../../agent/contract/messages.js';
import { SetUpDesk, type SiteFile } from '../../agent/live/set-up-desk.js';
import { Pipeline } from '../../agent/pipeline.js';
import { TakelineFault } from '../../agent/process/fault.js';
import type { SiteVersion } from '../../agent/store/history.js';
import { readings, sides, inOrder, feed } from '../flow/way/run.js';
import { START_MS, testSite } from '../flow/way/test-site.js';

const TEXT = `
site: { id: plant, name: Works, timezone: Europe/Oslo }
conveyors:
  - id: line
    chain: { pitch_mm: 76.2, pitches: 3200, repeat_pitches: 2, wear_limit_pct: 2 }
    takeups:
      - id: tu1
        location: after the drive
        wrap_deg: 180
        stroke_mm: 230
        spring: { free_mm: 320, rate_n_per_mm: 18, solid_mm: 150, clearance_mm: 12 }
        reference: { at: 2026-01-05T06:00:00Z, position_mm: 40 }
        sides:
          left: { set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 200 } }
          right: { set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 200 } }
`;

function deskWith(siteFile?: Partial<SiteFile>) {
  const pipeline = new Pipeline(testSite());
  feed(pipeline, inOrder(readings(START_MS, START_MS + 600_000, 10, () => sides(60))));
  const answers: AnswerMessage[] = [];
  const versions: SiteVersion[] = [];
  const kept: string[] = [];
  const begun: string[] = [];
  const whole: SiteFile = {
    text: TEXT,
    keep: (text) => Promise.resolve(void kept.push(text)),
    apply: { whyNot: () => undefined, begin: (_, text) => void begun.push(text) },
    ...siteFile,
  };
  const desk = new SetUpDesk({
    pipeline,
    outputs: { rejectedOf: new Map([['line/tu1/left/position', { spike: 3 }]]) },
    publisher: {
      answer: (request, ok, message, detail) => void answers.push({ request, ok, message, ...(detail === undefined ? {} : { detail }) }),
    },
    store: { recordSite: (version) => Promise.resolve(versions.push(version) > 0) },
    clock: { nowMs: () => START_MS },
    log: { info: () => undefined },
    siteFile: siteFile === undefined ? undefined : whole,
  });
  const ask = async (verb: string, fields: Readonly<Record<string, unknown>> = {}): Promise<AnswerMessage> => {
    await desk.take(verb, { request: 'one', by: 'Kari', ...fields });
    return answers.at(-1) as AnswerMessage;
  };
  return { ask, versions, kept, begun };
}

describe('what the signals read', () => {
  it('is told raw and in engineering units, with what was not used', async () => {
    const { detail } = await deskWith().ask('signals', { conveyor: 'line' });
    const left = detail?.signals?.find(({ signal }) => signal === 'line/tu1/left/position');
    expect(left).toEqual({
      ...{ signal: 'line/tu1/left/position', raw: 60, value: 60, state: 'good', at: '2026-01-05T06:09:50Z', rejected: { spike: 3 } },
    });
  });

  it('is told of no conveyor that there is not', async () => {
    expect(await deskWith().ask('signals', { conveyor: 'none' })).toMatchObject({ ok: false });
  });
});

describe('another site file', () => {
  it('is kept on the disk, as a version with who changed it, and then in force', async () => {
    const { ask, kept, versions, begun } = deskWith({});
    expect(await ask('site', { text: TEXT })).toMatchObject({ ok: true, detail: { applied: true } });
    expect([kept, begun]).toEqual([[TEXT], [TEXT]]);
    expect(versions).toEqual([{ timeMs: START_MS, by: 'Kari', text: TEXT }]);
  });

  it('is kept with why it was changed, where that is said', async () => {
    const { ask, versions } = deskWith({});
    await ask('site', { text: TEXT, why: 'Tried on the bench: two false alarms fewer.' });
    expect(versions).toEqual([{ timeMs: START_MS, by: 'Kari', text: TEXT, why: 'Tried on the bench: two false alarms fewer.' }]);
    expect(await ask('site', { text: TEXT, why: 7 })).toMatchObject({ ok: false });
  });

  it('with faults is not kept, and the first fault is told with its line', async () => {
    const { ask, kept } = deskWith({});
    const { ok, message } = await ask('site', { text: TEXT.replace('stroke_mm: 230', 'stroke_mm: -1') });
    expect([ok, message]).toEqual([false, expect.stringMatching(/line 10/) as string]);
    expect(kept).toEqual([]);
  });

  it('of another site is refused: everything is kept under its id', async () => {
    expect(await deskWith({}).ask('site', { text: TEXT.replace('id: plant', 'id: other') })).toMatchObject({
      ok: false,
      message: expect.stringContaining('stays plant') as string,
    });
  });

  it('that needs a restart is kept, says why, and leaves everything running', async () => {
    const { ask, begun, kept } = deskWith({ apply: { whyNot: () => 'start it again', begin: () => undefined } });
    expect(await ask('site', { text: TEXT })).toMatchObject({ ok: true, message: 'kept: start it again', detail: { applied: false } });
    expect([begun, kept.length]).toEqual([[], 1]);
  });

  it('that cannot be written is refused with why', async () => {
    const full = deskWith({ keep: () => Promise.reject(new TakelineFault('site-unwritable', 'the disk is full')) });
    expect(await full.ask('site', { text: TEXT })).toEqual({ request: 'one', ok: false, message: 'the disk is full' });
    expect(full.versions).toEqual([]);
  });

  it('is refused where the agent has no file to write', async () => {
    expect(await deskWith().ask('site', { text: TEXT })).toMatchObject({ ok: false });
  });
});
