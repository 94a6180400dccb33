import { describe, expect, it } from 'vitest';
import { csvRow } from '../../../../web/server/logic/csv.js';

describe('a row of a table', () => {
  it('is quoted where RFC 4180 asks for it, and leaves out what is not there', () => {
    expect(csvRow(['a', 1.5, null, undefined, 'b, c', 'said "no"', 'two\nlines'])).toBe('a,1.5,,,"b, c","said ""no""","two\nlines"\r\n');
  });

  it.each(['=1+1', '+1', '-1', '@SUM(A1)', '\t=1'])('lets a spreadsheet take %j, which somebody typed, for text', (typed) => {
    expect(csvRow([typed])).toBe(`'${typed}\r\n`);
  });

  it('leaves a negative number a number', () => {
    expect(csvRow([-1.5])).toBe('-1.5\r\n');
  });
});
