import { describe, expect, it } from 'vitest';
import { findColumns } from '../../agent/recording/csv-columns.js';

describe('the header of a recording', () => {
  it('names its columns in any order, with others beside them', () => {
    expect(findColumns(['time', 'signal', 'value'])).toEqual({ time: 0, signal: 1, value: 2 });
    expect(findColumns(['unit', ' Value', 'SIGNAL', 'note', 'time '])).toEqual({ time: 4, signal: 2, value: 1 });
  });

  it.each([
    [['time', 'signal', 'reading'], 'no column "value" in its first line "time,signal,reading"'],
    [['time;signal;value'], 'no column "time" in its first line "time;signal;value" (columns are separated by commas)'],
    [['time', 'signal', 'value', 'value'], 'its header names the column value twice'],
    [['2026-01-05T06:00:00Z', 'enamel/running', '1'], 'no column "time" in its first line "2026-01-05T06:00:00Z,enamel/running,1"'],
    [['\u0000t\u0000i'], 'this is no text in UTF-8'],
    [['t\ufffd'], 'this is no text in UTF-8'],
    [['x'.repeat(99)], `no column "time" in its first line "${'x'.repeat(60)} …"`],
  ])('%j is refused in words', (header, words) => {
    expect(findColumns(header)).toBe(words);
  });
});
