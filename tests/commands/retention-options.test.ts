import { describe, expect, it } from 'vitest';
import { retentionOf } from '../../agent/commands/retention-options.js';
import { TakelineFault } from '../../agent/process/fault.js';

const read = (values: Readonly<Record<string, string>>) => retentionOf({ values, positionals: [] });

describe('for how long history is kept', () => {
  it('is a month of raw readings and 400 days of minutes, as far as the disk goes, where nothing is said', () => {
    expect(read({})).toEqual({ rawDays: 30, minuteDays: 400 });
  });

  it.each([
    [
      { 'keep-raw': '90', 'keep-minutes': '0.5' },
      { rawDays: 90, minuteDays: 0.5 },
    ],
    [{ 'max-disk': '500M' }, { maxBytes: 524_288_000 }],
    [{ 'max-disk': '1.5g' }, { maxBytes: 1_610_612_736 }],
    [{ 'max-disk': '2TB' }, { maxBytes: 2_199_023_255_552 }],
  ])('is as %o says', (values, expected) => {
    expect(read(values)).toMatchObject(expected);
  });

  it.each([
    { 'keep-raw': '0' },
    { 'keep-raw': 'a month' },
    { 'keep-minutes': '-3' },
    { 'max-disk': '20' },
    { 'max-disk': '1M' },
    { 'max-disk': 'G' },
  ])('%o is refused as wrong usage', (values: Readonly<Record<string, string>>) => {
    let refused: unknown;
    try {
      read(values);
    } catch (error) {
      refused = error;
    }
    expect(refused).toBeInstanceOf(TakelineFault);
    expect(refused).toMatchObject({ exitCode: 2, message: expect.stringContaining(Object.values(values)[0]!) as string });
  });
});
