import { describe, expect, it } from 'vitest';
import { RejectList } from '../../agent/replay/reject-list.js';

describe('rows that were not taken', () => {
  it('are listed by line, whatever the order in which they were found out', () => {
    const list = new RejectList();
    for (const line of [3, 4, 9]) list.add(line, 'duplicate');
    list.add(5, 'unparsable');
    list.add(2, 'late');
    expect([...list].map(({ line, reason }) => `${line} ${reason}`)).toEqual([
      '2 late',
      '3 duplicate',
      '4 duplicate',
      '5 unparsable',
      '9 duplicate',
    ]);
    expect(list.count).toBe(5);
  });

  it('take hardly any memory where all rows of a file are bad', () => {
    const list = new RejectList();
    const before = process.memoryUsage().arrayBuffers;
    for (let line = 2; line < 2_000_000; line++) list.add(line, 'duplicate');
    expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(1_000_000);
    expect(list.count).toBe(1_999_998);
  });
});
