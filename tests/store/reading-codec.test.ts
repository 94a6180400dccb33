import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodeReadings, encodeReadings, type SignalReadings } from '../../agent/store/reading-codec.js';

const START_MS = Date.parse('2026-03-02T06:00:00Z');

function roundTrip(timeMs: readonly number[], value: readonly number[]): SignalReadings {
  return decodeReadings(encodeReadings({ timeMs: Float64Array.from(timeMs), value: Float64Array.from(value) }));
}

/** Bytes a reading of a sensor that gives `value(i)` at `time(i)`. */
function bytesEach(count: number, time: (i: number) => number, value: (i: number) => number): number {
  const places = Array.from({ length: count }, (_, i) => i);
  return encodeReadings({ timeMs: Float64Array.from(places, time), value: Float64Array.from(places, value) }).length / count;
}

/** A chance that is the same at every run. */
function noise(i: number): number {
  const far = Math.sin(i * 12.9898) * 43758.5453;
  return far - Math.floor(far) - 0.5;
}

describe('readings in few bytes', () => {
  it('come back to the last bit, whatever they are', () => {
    const any = fc.double().map((value) => value + 0);
    const decimal = fc.tuple(fc.integer(), fc.nat(9)).map(([whole, digits]) => whole / 10 ** digits);
    const reading = fc.tuple(fc.integer({ min: 0, max: 4_102_444_800_000 }), fc.oneof(any, decimal, fc.constant(NaN)));
    fc.assert(
      fc.property(fc.array(reading, { maxLength: 200 }), (rows) => {
        const sorted = rows.toSorted(([a], [b]) => a - b);
        const [times, values] = [sorted.map(([time]) => time), sorted.map(([, value]) => value)];
        const back = roundTrip(times, values);
        expect([...back.timeMs]).toEqual(times);
        expect([...back.value]).toEqual(values);
      }),
      { numRuns: 500 },
    );
  });

  it.each([
    { what: 'nothing', values: [] },
    { what: 'no number at all', values: [NaN, NaN, NaN] },
    { what: 'infinite values', values: [1.25, Infinity, -Infinity, 1.5] },
    { what: 'a long decimal among short ones', values: [...Array.from({ length: 50 }, (_, i) => i / 100), 0.1 + 0.2] },
    { what: 'the largest and the least numbers', values: [Number.MAX_VALUE, 5e-324, -Number.MAX_VALUE, 2 ** 53 + 2, 2 ** 51 + 0.5] },
  ])('hold $what', ({ values }) => {
    const times = values.map((_, i) => START_MS + i * 1000);
    expect([...roundTrip(times, values).value]).toEqual(values);
  });

  it('take at most three bytes a reading of a sensor to the hundredth of a millimetre, whose clock wavers by some milliseconds', () => {
    const breathing = (i: number) => Math.round(100 * (80 + 2 * Math.sin(i / 9) + 0.3 * noise(i))) / 100;
    expect(bytesEach(4096, (i) => START_MS + i * 1000 + Math.round(8 * noise(i + 0.5)), breathing)).toBeLessThan(2.2);
    expect(bytesEach(4096, (i) => START_MS + i * 100, breathing)).toBeLessThan(1.5);
    const loop = (i: number) => Number((12 + 0.4 * Math.sin(i / 40) + 0.02 * noise(i)).toFixed(4));
    expect(bytesEach(4096, (i) => START_MS + i * 100, loop)).toBeLessThan(2);
  });

  it('never come back as others when they are damaged', () => {
    const readings = { timeMs: Float64Array.of(1, 2, 3), value: Float64Array.of(4, 5.5, NaN) };
    const bytes = encodeReadings(readings);
    let refused = 0;
    for (let bit = 0; bit < bytes.length * 8; bit++) {
      const damaged = Uint8Array.from(bytes);
      damaged[bit >> 3] = damaged[bit >> 3]! ^ (1 << (bit & 7));
      try {
        // A bit that fills up the last byte changes nothing.
        expect(decodeReadings(damaged)).toEqual(readings);
      } catch (error) {
        if (error instanceof Error && error.name === 'AssertionError') throw error;
        refused++;
      }
    }
    expect(refused).toBeGreaterThan(bytes.length * 7);
  });
});
