import { describe, expect, test } from 'vitest';
import { parseOptions } from '../../agent/commands/options.js';

describe('a wrong option is told in one line', () => {
  test.each([
    [['--days', '-1'], '--days needs a value; one that begins with a dash is written --days=-1'],
    [['--days'], '--days needs a value'],
    [['--day=1'], "Unknown option '--day'"],
    [['--quiet=1'], '--quiet takes no value'],
  ])('%j', (args, words) => {
    const err: string[] = [];
    const io = { out: () => undefined, err: (line: string) => err.push(line) };
    const code = parseOptions('simulate', 'usage', args, { days: { type: 'string' }, quiet: { type: 'boolean' } }, io);
    expect([code, err]).toEqual([2, [`takeline simulate: ${words} (see takeline simulate --help)`]]);
  });
});
