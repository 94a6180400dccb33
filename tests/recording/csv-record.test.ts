import { describe, expect, it } from 'vitest';
import { LONGEST_RECORD, readCsvRecord } from '../../agent/recording/csv-record.js';

function read(text: string) {
  const bytes = Buffer.from(text);
  return readCsvRecord(bytes, 0, bytes.length);
}

describe('a record of CSV (RFC 4180)', () => {
  it.each([
    ['a,b,c\nrest', ['a', 'b', 'c'], 1],
    ['a,b,c\r\nrest', ['a', 'b', 'c'], 1],
    [',,\n', ['', '', ''], 1],
    ['"a","b","c"\r\n', ['a', 'b', 'c'], 1],
    ['"a,b",c\n', ['a,b', 'c'], 1],
    ['"said ""so""",c\n', ['said "so"', 'c'], 1],
    ['"two\nlines",c\n', ['two\nlines', 'c'], 2],
    ['"",c\n', ['', 'c'], 1],
    ['in"side,c\n', ['in"side', 'c'], 1],
    ['ø,é\n', ['ø', 'é'], 1],
  ])('%j is %j', (text, fields, lines) => {
    const next = Buffer.from(text.replace(/rest$/, '')).length;
    expect(read(text)).toEqual({ fields, lines, next });
  });

  it.each(['a,b', 'a,b,', '"a', '"a"', '"a""', '"a"\r', ''])('%j goes on beyond what is there', (text) => {
    expect(read(text)).toBe('unfinished');
  });

  it('is malformed where text follows a closing quote', () => {
    expect(read('"a"b,c\n')).toBe('malformed');
    expect(read('"a"\rb,c\n')).toBe('malformed');
  });

  it('is malformed where it never ends', () => {
    expect(read(`"${'x'.repeat(LONGEST_RECORD)}`)).toBe('malformed');
    expect(read('x'.repeat(LONGEST_RECORD + 1))).toBe('malformed');
    expect(read(`"${'x'.repeat(LONGEST_RECORD)}"\n`)).toBe('malformed');
  });
});
