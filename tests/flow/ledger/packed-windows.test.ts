import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isPacked, packed, WINDOW_NUMBERS } from '../../../agent/flow/ledger/packed-windows.js';
import type { WindowRecord } from '../../../agent/flow/ledger/window-record.js';

/** What sensors to the hundredth leave, what they do not, and what is not known. */
const NUMBER = fc.oneof(
  fc.integer({ min: -3_000_000, max: 3_000_000 }).map((parts) => parts / 10_000),
  fc.double(),
  fc.constantFrom(NaN, 0, -0, Infinity, 0.1 + 0.2, 2 ** 31 / 10_000, 1_772_431_200_123),
);
const WINDOW = fc
  .tuple(
    fc.constantFrom('2026-03-02', '2026-03-03'),
    fc.array(NUMBER, { minLength: WINDOW_NUMBERS.length, maxLength: WINDOW_NUMBERS.length }),
  )
  .map(
    ([date, numbers]) =>
      ({ date, ...Object.fromEntries(WINDOW_NUMBERS.map((field, i) => [field, numbers[i]])) }) as unknown as WindowRecord,
  );

const numbersOf = (window: WindowRecord): unknown[] => [window.date, ...WINDOW_NUMBERS.map((field) => window[field])];

describe('settled windows that are laid together', () => {
  it('read as they did, to the last bit', () => {
    fc.assert(
      fc.property(fc.array(WINDOW, { minLength: 1, maxLength: 20 }), (windows) => {
        const laid = packed(windows);
        // `toEqual` tells −0 from 0 and takes NaN for itself.
        expect(laid.map(numbersOf)).toEqual(windows.map(numbersOf));
        expect([windows.some(isPacked), laid.every(isPacked)]).toEqual([false, true]);
      }),
    );
  });

  it('read so where a column is the same all through, or all to the hundredth', () => {
    fc.assert(
      fc.property(WINDOW, fc.array(fc.integer({ min: 0, max: 30_000 }), { minLength: 1, maxLength: 20 }), (window, hundredths) => {
        const windows = hundredths.map((mm) => ({ ...window, left: mm / 100, right: -mm / 100 }));
        expect(packed(windows).map(numbersOf)).toEqual(windows.map(numbersOf));
      }),
    );
  });
});
