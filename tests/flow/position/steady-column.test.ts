import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { SteadyColumn } from '../../../agent/flow/position/steady-column.js';

const CAPACITY = 720;
/** Few different numbers, so that columns of one number and such as leave it late are among them; NaN: not known. */
const NUMBERS = fc.array(fc.constantFrom(NaN, 0, 0.1, 41.37), { maxLength: CAPACITY });

function filled(numbers: readonly number[], column = new SteadyColumn(CAPACITY)): SteadyColumn {
  numbers.forEach((value, place) => {
    column.put(place, value);
  });
  return column;
}

const read = (column: SteadyColumn, count: number): number[] => Array.from({ length: count }, (_, place) => column.at(place));

describe('a column of what is laid up for a settled window', () => {
  it('gives out what was laid in it, as a plain array does', () => {
    fc.assert(
      fc.property(NUMBERS, (numbers) => {
        const column = filled(numbers);
        const known = numbers.filter((value) => !Number.isNaN(value));
        const copy = new Float64Array(CAPACITY);
        expect(read(column, numbers.length)).toEqual(numbers);
        expect([...copy.subarray(0, column.copyKnown(numbers.length, copy))]).toEqual(known);
        expect(column.range(numbers.length)).toBe(known.length === 0 ? NaN : Math.max(...known) - Math.min(...known));
      }),
    );
  });

  it('is saved alike whether it was filled in one go, over an earlier window, or from a saved state', () => {
    fc.assert(
      fc.property(NUMBERS, NUMBERS, (before, numbers) => {
        const text = JSON.stringify(filled(numbers).save(numbers.length));
        expect(JSON.stringify(filled(numbers, filled(before)).save(numbers.length))).toBe(text);
        const restored = new SteadyColumn(CAPACITY);
        restored.restore(JSON.parse(text) as ReturnType<SteadyColumn['save']>, numbers.length);
        expect(read(restored, numbers.length)).toEqual(numbers);
        expect(JSON.stringify(restored.save(numbers.length))).toBe(text);
      }),
    );
  });

  it('of one number is saved as that number', () => {
    expect(filled(Array.from({ length: 600 }, () => 21.5)).save(600)).toBe(21.5);
  });
});
