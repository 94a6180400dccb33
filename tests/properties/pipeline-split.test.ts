import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Output } from '../../agent/flow/output.js';
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

/** As `told`, with the readings between other inputs handed over as rows, so many at a time. */
function toldInRows(inputs: readonly TestInput[], most: number): Told {
  const pipeline = new Pipeline(EVENTFUL_SITE);
  const outputs: Output[] = [];
  let waiting: Extract<TestInput, { kind: 'reading' }>[] = [];
  const read = (): void => {
    const rows = {
      timeMs: Float64Array.from(waiting, ({ timeMs }) => timeMs),
      signal: Int32Array.from(waiting, ({ signal }) => pipeline.signals.indexOf(signal)),
      value: Float64Array.from(waiting, ({ raw }) => raw),
    };
    for (let row = 0; row < waiting.length;) row = pipeline.readRows(rows, row, waiting.length, outputs);
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
