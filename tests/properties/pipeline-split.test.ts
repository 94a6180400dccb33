import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Output } from '../../agent/flow/output.js';
import type { LookOn } from '../../agent/flow/way/block.js';
import { Pipeline } from '../../agent/pipeline.js';
import { feed, resumed, type TestInput } from '../flow/way/run.js';
import { EVENTFUL_SITE, eventfulRun } from './eventful-plant.js';

const HOURS = 30;

const lines = (outputs: readonly Output[]): string[] => outputs.map((output) => JSON.stringify(output));
const savedText = (pipeline: Pipeline): string => JSON.stringify(pipeline.save());

interface Told {
  readonly outputs: readonly string[];
  readonly saved: string;
}

/** Feeds a run to one pipeline, saved and brought back before the inputs at `cuts`, and gives all it said and saved at last. */
function told(inputs: readonly TestInput[], cuts: readonly number[]): Told {
  let pipeline = new Pipeline(EVENTFUL_SITE);
  const outputs: Output[] = [];
  const ends = [...new Set(cuts)].sort((a, b) => a - b);
  [...ends, inputs.length].forEach((end, i) => {
    outputs.push(...feed(pipeline, inputs.slice(ends[i - 1] ?? 0, end)));
    if (end < inputs.length) pipeline = resumed(EVENTFUL_SITE, pipeline);
  });
  const saved = savedText(pipeline);
  outputs.push(...pipeline.finish());
  return { outputs: lines(outputs), saved };
}

/** What somebody sees who looks on: the row, and everything that the bench draws as it stands after it. */
function onlooker({ ways }: Pipeline, seen: string[]): LookOn {
  return (signal, timeMs, value) => {
    const sides = ways.flatMap(({ tracks }) => tracks.flatMap(({ left, right }) => [left, right]));
    const drawn = sides.flatMap(({ position, cells }) => [position.timeMs, position.spikeFree, position.smoothed, cells[2]]);
    const windows = ways.flatMap(({ account }) => account.histories.map(({ last }) => last?.toMs));
    seen.push([signal, timeMs, value, ...drawn, ...windows].join(' '));
  };
}

/** What an onlooker sees who is there after every reading by itself. */
function seenByReading(inputs: readonly TestInput[]): readonly string[] {
  const pipeline = new Pipeline(EVENTFUL_SITE);
  const seen: string[] = [];
  const look = onlooker(pipeline, seen);
  const samplers = pipeline.ways.flatMap((way) => way.samplers);
  for (const input of inputs) {
    feed(pipeline, [input]);
    if (input.kind !== 'reading') continue;
    const signal = pipeline.signals.indexOf(input.signal);
    const { lastGoodMs, value } = samplers[signal]!;
    look(signal, input.timeMs, lastGoodMs === input.timeMs ? value : NaN);
  }
  return seen;
}

/** As `told`, with the readings between other inputs handed over as rows, so many at a time; and what an onlooker sees. */
function toldInRows(inputs: readonly TestInput[], most: number, seen?: string[]): Told {
  const pipeline = new Pipeline(EVENTFUL_SITE);
  const look = seen && onlooker(pipeline, seen);
  const outputs: Output[] = [];
  let waiting: Extract<TestInput, { kind: 'reading' }>[] = [];
  const read = (): void => {
    const rows = {
      timeMs: Float64Array.from(waiting, ({ timeMs }) => timeMs),
      signal: Int32Array.from(waiting, ({ signal }) => pipeline.signals.indexOf(signal)),
      value: Float64Array.from(waiting, ({ raw }) => raw),
    };
    for (let row = 0; row < waiting.length;) row = pipeline.readRows(rows, row, waiting.length, outputs, look);
    waiting = [];
  };
  for (const input of inputs) {
    if (input.kind === 'reading') waiting.push(input);
    if (input.kind !== 'reading' || waiting.length === most) read();
    if (input.kind !== 'reading') outputs.push(...feed(pipeline, [input]));
  }
  read();
  const saved = savedText(pipeline);
  outputs.push(...pipeline.finish());
  return { outputs: lines(outputs), saved };
}

describe('a run of the pipeline', () => {
  it('says much: an eventful plant raises alarms, refuses readings, gives days and findings', () => {
    const { outputs } = told(eventfulRun(1, HOURS), []);
    for (const kind of ['alarm', 'reject', 'settled-day', 'finding', 'minute']) {
      expect(outputs.filter((line) => line.startsWith(`{"kind":"${kind}"`)).length, kind).toBeGreaterThan(0);
    }
  });

  it('split anywhere, saved as JSON and resumed, says and saves the same, byte for byte', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1e6 }),
        fc.array(fc.double({ min: 0, max: 0.999, noNaN: true }), { minLength: 1, maxLength: 4 }),
        (seed, places) => {
          const inputs = eventfulRun(seed, HOURS);
          const whole = told(inputs, []);
          const cuts = places.map((place) => Math.floor(place * inputs.length));
          const split = told(inputs, cuts);
          const differs = split.outputs.findIndex((line, i) => line !== whole.outputs[i]);
          expect(split.outputs[differs], `output ${differs}`).toBe(whole.outputs[differs]);
          expect(split.outputs).toHaveLength(whole.outputs.length);
          expect(split.saved).toBe(whole.saved);
        },
      ),
      { numRuns: 25 },
    );
  });

  it('read in rows, many at a time and in runs of any length, says and saves the same as reading by reading', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), fc.integer({ min: 1, max: 3000 }), (seed, most) => {
        const inputs = eventfulRun(seed, HOURS);
        const whole = told(inputs, []);
        const inRows = toldInRows(inputs, most);
        const differs = inRows.outputs.findIndex((line, i) => line !== whole.outputs[i]);
        expect(inRows.outputs[differs], `output ${differs}`).toBe(whole.outputs[differs]);
        expect(inRows.outputs).toHaveLength(whole.outputs.length);
        expect(inRows.saved).toBe(whole.saved);
      }),
      { numRuns: 25 },
    );
  });

  it('read in rows shows an onlooker after each what reading by reading shows, and is not changed by being looked at', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), fc.integer({ min: 1, max: 3000 }), (seed, most) => {
        const inputs = eventfulRun(seed, HOURS);
        const seen: string[] = [];
        expect(toldInRows(inputs, most, seen)).toEqual(told(inputs, []));
        const whole = seenByReading(inputs);
        const differs = whole.findIndex((line, i) => line !== seen[i]);
        expect(seen[differs], `reading ${differs}`).toBe(whole[differs]);
        expect(seen).toHaveLength(whole.length);
      }),
      { numRuns: 4 },
    );
  });

  it('changes nothing of what is saved of its chain but where it counts the change: the rest is not written again', () => {
    let kept = 0;
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), fc.integer({ min: 7, max: 97 }), (seed, every) => {
        const pipeline = new Pipeline(EVENTFUL_SITE);
        const inputs = eventfulRun(seed, HOURS);
        const seen = pipeline.ways.map(() => ({ changes: -1, text: '' }));
        inputs.forEach((input, i) => {
          feed(pipeline, [input]);
          if (input.kind === 'reading' && i % every > 0) return;
          pipeline.ways.forEach((way, index) => {
            // What the live agent asks for in between.
            way.takeups.forEach((_, takeup) => {
              way.account.prepareDay(takeup);
              way.account.trendOf(takeup);
            });
            const { changes } = way.account;
            const text = JSON.stringify(way.account.save('last-day'));
            const before = seen[index]!;
            if (changes === before.changes) {
              kept++;
              expect(text).toBe(before.text);
            }
            seen[index] = { changes, text };
          });
        });
      }),
      { numRuns: 8 },
    );
    expect(kept).toBeGreaterThan(100);
  });

  it('hears ticks at any whole seconds in between, and says and saves the same', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), fc.double({ min: 0.05, max: 1, noNaN: true }), (seed, density) => {
        const inputs = eventfulRun(seed, HOURS);
        expect(told(withTicks(inputs, density), [])).toEqual(told(inputs, []));
      }),
      { numRuns: 15 },
    );
  });
});

/** Puts ticks between inputs wherever time has moved on: one at each whole minute that was passed, of so many of them. */
function withTicks(inputs: readonly TestInput[], density: number): TestInput[] {
  let nowMs = -Infinity;
  return inputs.flatMap((input, i) => {
    const ticks: TestInput[] = [];
    if (nowMs !== -Infinity && input.timeMs > nowMs && (i * 7) % 100 < density * 100) {
      for (let timeMs = Math.ceil(nowMs / 7000) * 7000; timeMs <= input.timeMs; timeMs += 7000) ticks.push({ kind: 'tick', timeMs });
    }
    nowMs = Math.max(nowMs, input.timeMs);
    return [...ticks, input];
  });
}
