import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseDecimalBytes, parseTruthBytes } from '../../agent/recording/byte-decimal.js';

function read(text: string): number {
  // Digits on both sides, so that looking beyond the bounds would be seen.
  const bytes = Buffer.from(`9${text}9`);
  return parseDecimalBytes(bytes, 1, bytes.length - 1);
}

describe('a value', () => {
  it.each([
    '0',
    '-0',
    '7',
    '+7',
    '-12.5',
    '40.125',
    '.5',
    '5.',
    '1e3',
    '1E-3',
    '-2.5e+2',
    '00012.50',
    '0.000000000000000000000001',
    '123456789012345678',
    '9007199254740993',
    '4.35',
    '0.1',
    '2.2250738585072014e-308',
  ])('%s is exactly the number that it says', (text) => {
    expect(read(text)).toBe(Number(text));
  });

  it.each([
    '',
    '+',
    '-',
    '.',
    'NaN',
    'nan',
    'inf',
    '-Infinity',
    '0x1F',
    '0b1',
    '1_000',
    '1 000',
    '1,5',
    '4o',
    '12.3.4',
    '1e',
    '1e+',
    '1e5.0',
    '--1',
    '1-',
    ' 1',
    '1e999',
    '-1e999',
    '٣',
  ])('"%s" is no finite decimal', (text) => {
    expect(read(text)).toBeNaN();
  });

  it('is what the platform makes of it, whatever it is written like', () => {
    const digits = fc.string({ unit: fc.constantFrom('0', '1', '2', '3', '4', '5', '6', '7', '8', '9'), maxLength: 25 });
    const form = fc.record({
      sign: fc.constantFrom('', '-', '+'),
      whole: digits,
      fraction: fc.option(digits, { nil: undefined }),
      exponent: fc.option(fc.integer({ min: -320, max: 320 }), { nil: undefined }),
    });
    fc.assert(
      fc.property(form, ({ sign, whole, fraction, exponent }) => {
        const text = `${sign}${whole}${fraction === undefined ? '' : `.${fraction}`}${exponent === undefined ? '' : `e${exponent}`}`;
        const value = whole + (fraction ?? '') === '' ? NaN : Number(text);
        expect(read(text)).toBe(Number.isFinite(value) ? value : NaN);
      }),
      { numRuns: 2000 },
    );
  });

  it('is read back bit for bit from the shortest text of any double', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (value) => Object.is(read(String(value)), Number(String(value)))),
    );
  });
});

describe('true and false', () => {
  const truth = (text: string) => parseTruthBytes(Buffer.from(text), 0, text.length);

  it('are 1 and 0 whatever their case, and nothing else is', () => {
    expect(['true', 'True', 'TRUE', 'false', 'False', 'FALSE'].map(truth)).toEqual([1, 1, 1, 0, 0, 0]);
    expect(['', 'yes', 'tru', 'truee', 'on', '1'].map(truth)).toEqual([NaN, NaN, NaN, NaN, NaN, NaN]);
  });
});
