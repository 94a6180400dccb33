import { describe, expect, it } from 'vitest';
import { dueWords, dueWork } from '../../../../web/client/logic/work-needs.js';
import { nowOf } from '../../a-takeup.js';

const trend = {
  ...nowOf().trend,
  strokeOut: { date: '2026-04-20', early: '2026-04-01', late: '2026-05-10' },
  springSlack: { date: '2026-03-20', early: '2026-03-12', late: null },
};

describe('the dates that call for work', () => {
  it('come earliest first, each with what it calls for', () => {
    const due = dueWork(trend, '2026-03-02');
    expect(due.map(({ what, days, work }) => [what, days, work])).toEqual([
      ['spring-slack', 10, 'turn the nuts'],
      ['stroke-out', 30, 'shorten the chain'],
    ]);
  });

  it('are said with their range, and without a last day where it is open', () => {
    const [slack, stroke] = dueWork(trend, '2026-03-02');
    expect(slack && dueWords(slack)).toBe('in 10 days at the earliest (about 2026-03-20, 2026-03-12 to open)');
    expect(stroke && dueWords(stroke)).toContain('2026-04-01 to 2026-05-10');
    expect(dueWords(dueWork(trend, '2026-03-12')[0] as never)).toMatch(/^from today/);
    expect(dueWords(dueWork(trend, '2026-03-20')[0] as never)).toMatch(/^any day now/);
  });

  it('are in the past where they have passed, and no range where both ends are one day', () => {
    const springSlack = { date: '2026-02-01', early: '2026-02-01', late: '2026-02-01' };
    const [slack] = dueWork({ ...trend, springSlack }, '2026-03-02');
    expect(slack && dueWords(slack)).toBe('since about 2026-02-01');
  });

  it('are none where nothing is forecast', () => {
    expect(dueWork(undefined, '2026-03-02')).toEqual([]);
    expect(dueWork({ ...trend, strokeOut: null, springSlack: null }, '2026-03-02')).toEqual([]);
  });
});
