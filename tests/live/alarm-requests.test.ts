import { describe, expect, it } from 'vitest';
import { inputOf } from '../../agent/live/recover.js';
import { readVerb } from '../../agent/live/requests.js';
import { Pipeline } from '../../agent/pipeline.js';
import { formatTime } from '../../agent/units/time.js';
import { siteOfTwo } from '../contract/sites.js';

const NOW_MS = Date.parse('2026-02-02T06:00:00Z');
const HOUR_MS = 3600_000;
const STROKE_END = { conveyor: 'enamel', takeup: 'tu1', alarm: 'stroke-end' };
const LEFT_LOST = { conveyor: 'enamel', takeup: 'tu1', alarm: 'signal-lost', signal: 'enamel/tu1/left/position' };
const inHours = (hours: number): string => formatTime(NOW_MS + hours * HOUR_MS);
type Body = Readonly<Record<string, unknown>>;

function ask(pipeline: Pipeline, verb: string, body: Body, known = false, dataMs = NOW_MS): ReturnType<typeof readVerb> {
  const now = { wallMs: NOW_MS, dataMs };
  return readVerb(pipeline, verb, { request: 'r-1', by: 'Kari', ...body }, now, new Set(known ? ['r-1'] : []));
}

/** Asks, and has the pipeline take what was asked. */
function done(pipeline: Pipeline, verb: string, body: Body, dataMs = NOW_MS): ReturnType<Pipeline['advance']> {
  const asked = ask(pipeline, verb, body, false, dataMs);
  if (!asked.ok) throw new Error(asked.message);
  const input = inputOf(JSON.parse(JSON.stringify(asked.input)) as typeof asked.input);
  if (input === undefined) throw new Error('the journal does not know it');
  return pipeline.advance(input);
}

describe('a request to set an alarm aside', () => {
  it('shelves it until the time it names, and the alarm comes back by itself', () => {
    const pipeline = new Pipeline(siteOfTwo());
    expect(done(pipeline, 'shelve', { ...STROKE_END, until: inHours(8), why: 'chain is taken out' })).toMatchObject([
      { alarm: 'stroke-end', change: 'shelved', from: 'normal', to: 'shelved', by: 'Kari', why: 'chain is taken out', timeMs: NOW_MS },
    ]);
    const shelved = pipeline.ways[0]?.alarms.standing('tu1').map(({ shelf }) => shelf);
    expect(shelved).toEqual([{ by: 'Kari', why: 'chain is taken out', sinceMs: NOW_MS, untilMs: NOW_MS + 8 * HOUR_MS }]);
    expect(pipeline.advance({ kind: 'tick', timeMs: NOW_MS + 8 * HOUR_MS - 1 }).filter(({ kind }) => kind === 'alarm')).not.toMatchObject([
      { change: 'unshelved' },
    ]);
    const back = pipeline.advance({ kind: 'tick', timeMs: NOW_MS + 9 * HOUR_MS });
    expect(back).toMatchObject([
      { alarm: 'stroke-end', change: 'unshelved', from: 'shelved', to: 'normal', timeMs: NOW_MS + 8 * HOUR_MS, why: 'its time was up' },
    ]);
  });

  it('shelved again takes the new time, and may be taken back before it', () => {
    const pipeline = new Pipeline(siteOfTwo());
    done(pipeline, 'shelve', { ...STROKE_END, until: inHours(1), why: 'a' });
    expect(done(pipeline, 'shelve', { ...STROKE_END, until: inHours(2), why: 'b' })).toMatchObject([
      { from: 'shelved', to: 'shelved', why: 'b' },
    ]);
    expect(pipeline.advance({ kind: 'tick', timeMs: NOW_MS + 1.5 * HOUR_MS }).filter(({ kind }) => kind === 'alarm')).not.toContainEqual(
      expect.objectContaining({ change: 'unshelved' }),
    );
    expect(done(pipeline, 'unshelve', { ...STROKE_END, why: 'ready' }, NOW_MS + 1.6 * HOUR_MS)).toMatchObject([
      { change: 'unshelved', by: 'Kari', why: 'ready' },
    ]);
    expect(pipeline.ways[0]?.alarms.stateOf(STROKE_END)).toBe('normal');
  });

  it('counts the same span where the data has another time than the wall, as when a recording is played to the broker', () => {
    const pipeline = new Pipeline(siteOfTwo());
    const dataMs = NOW_MS - 400 * 24 * HOUR_MS;
    done(pipeline, 'shelve', { ...STROKE_END, until: inHours(8), why: 'a' }, dataMs);
    expect(pipeline.ways[0]?.alarms.standing('tu1')[0]?.shelf).toMatchObject({ sinceMs: dataMs, untilMs: dataMs + 8 * HOUR_MS });
  });

  it('takes an alarm out of service until it is put back, also one of a sensor', () => {
    const pipeline = new Pipeline(siteOfTwo());
    expect(done(pipeline, 'out-of-service', { ...LEFT_LOST, why: 'sensor is away' })).toMatchObject([
      { change: 'out-of-service', to: 'out-of-service', signal: LEFT_LOST.signal, why: 'sensor is away' },
    ]);
    pipeline.advance({ kind: 'tick', timeMs: NOW_MS + 100 * 24 * HOUR_MS });
    expect(pipeline.ways[0]?.alarms.stateOf(LEFT_LOST)).toBe('out-of-service');
    // It was evaluated all the while: nothing came of the sensor.
    expect(done(pipeline, 'in-service', LEFT_LOST, NOW_MS + 101 * 24 * HOUR_MS)).toMatchObject([
      { change: 'in-service', from: 'out-of-service', to: 'unacknowledged', by: 'Kari' },
    ]);
  });
});

describe('a request to set an alarm aside is refused, with a sentence,', () => {
  const at = (hours: number): Body => ({ ...STROKE_END, until: inHours(hours), why: 'because' });
  it.each<readonly [what: string, verb: string, body: Body, answer: RegExp]>([
    ['without a reason', 'shelve', { ...STROKE_END, until: inHours(1) }, /^why must say for what reason/],
    ['with an empty reason', 'out-of-service', { ...STROKE_END, why: '  ' }, /^why must say for what reason/],
    ['with an endless reason', 'out-of-service', { ...STROKE_END, why: 'x'.repeat(501) }, /at most 500 characters/],
    ['without a time', 'shelve', { ...STROKE_END, why: 'because' }, /^until must say when/],
    ['with a time that is none', 'shelve', { ...at(1), until: 'tomorrow' }, /^until must say when/],
    ['with a time in the past', 'shelve', at(-0.01), /^until lies in the past/],
    ['with a time that is now', 'shelve', at(0), /^until lies in the past/],
    ['for more than a day', 'shelve', at(24.01), /^until lies more than 24 hours ahead/],
    ['of an alarm that there is not', 'shelve', { ...at(1), alarm: 'stroke-ends' }, /^there is no alarm stroke-ends at take-up tu1/],
    ['of a signal that is not named', 'shelve', { ...at(1), alarm: 'signal-lost' }, /^there is no alarm signal-lost at take-up tu1/],
    ['of a conveyor that there is not', 'shelve', { ...at(1), conveyor: 'x' }, /^there is no conveyor x$/],
    ['that is not aside', 'unshelve', STROKE_END, /^the alarm is not shelved/],
    ['that is in service', 'in-service', STROKE_END, /^the alarm is not out of service/],
    ['by someone who is not named', 'acknowledge', STROKE_END, /^no such alarm waits/],
  ])('%s', (_, verb, body, answer) => {
    const asked = ask(new Pipeline(siteOfTwo()), verb, body);
    expect(asked.ok ? 'taken' : asked.message).toMatch(answer);
  });

  it('where it is out of service already', () => {
    const pipeline = new Pipeline(siteOfTwo());
    done(pipeline, 'out-of-service', { ...STROKE_END, why: 'away' });
    expect(ask(pipeline, 'shelve', at(1))).toMatchObject({ ok: false, message: /put it back into service/ });
    expect(ask(pipeline, 'out-of-service', { ...STROKE_END, why: 'away' })).toMatchObject({ ok: false });
  });

  it('but not when it is delivered again after it was done', () => {
    const pipeline = new Pipeline(siteOfTwo());
    for (const [verb, body] of [
      ['shelve', at(1)],
      ['out-of-service', { ...STROKE_END, why: 'away' }],
    ] as const) {
      const first = ask(pipeline, verb, body);
      done(pipeline, verb, body);
      expect(ask(pipeline, verb, body, true)).toEqual(first);
    }
    expect(ask(pipeline, 'shelve', at(-5), true)).toMatchObject({ ok: true });
  });
});
