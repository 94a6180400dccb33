import { describe, expect, it } from 'vitest';
import { toCsv } from '../../../../web/client/logic/csv.js';

describe('a table as a file', () => {
  it('is what RFC 4180 asks for, and leaves out what is not known', () => {
    expect(
      toCsv(
        ['day', 'what'],
        [
          ['2026-03-02', -1.5],
          ['a "b", c', null],
          ['', NaN],
        ],
      ),
    ).toBe('day,what\r\n2026-03-02,-1.5\r\n"a ""b"", c",\r\n,\r\n');
  });

  it('makes no formula of what a person wrote', () => {
    expect(toCsv(['note'], [['=1+1']])).toBe("note\r\n'=1+1\r\n");
  });
});
