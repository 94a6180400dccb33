import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { columnFromSaved, columnToSaved, fromSaved, toSaved } from '../../agent/units/saved.js';

const throughJson = <T>(value: T): T => JSON.parse(JSON.stringify(value)) as T;
/** JSON writes −0 as 0; no figure of the program tells the two apart. */
const number = fc.oneof(
  fc.double({ noDefaultInfinity: true }).map((value) => value + 0),
  fc.constant(NaN),
);

describe('a saved number', () => {
  it('comes back through JSON bit for bit, the unset one too', () => {
    fc.assert(
      fc.property(number, (value) => {
        expect(fromSaved(throughJson(toSaved(value)))).toBe(value);
      }),
    );
  });

  it('that was never saved is unset', () => {
    expect(fromSaved(undefined)).toBeNaN();
  });
});

describe('a saved column', () => {
  it('comes back with as many numbers as it had', () => {
    fc.assert(
      fc.property(fc.array(number, { maxLength: 20 }), (values) => {
        const column = new Float64Array(24);
        column.set(values);
        const back = new Float64Array(24);
        expect(columnFromSaved(back, throughJson(columnToSaved(column, values.length)))).toBe(values.length);
        expect([...back.subarray(0, values.length)]).toEqual(values);
      }),
    );
  });
});
