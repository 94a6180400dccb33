import { describe, expect, it } from 'vitest';
import { parseRoute } from '../../../../web/client/logic/route.js';
import { cardHref, planHref, reportHref } from '../../../../web/client/logic/work-route.js';

describe('the addresses of the work', () => {
  it.each([
    ['#/work', { screen: 'work' }],
    ['#/work/log', { screen: 'service-log' }],
    [planHref('line 1', 'tu/1'), { screen: 'plan', conveyor: 'line 1', takeup: 'tu/1' }],
    [cardHref('a1'), { screen: 'card', card: 'a1' }],
    [reportHref('line1'), { screen: 'report', conveyor: 'line1' }],
  ])('%s is a screen', (hash, route) => {
    expect(parseRoute(hash)).toEqual(route);
  });

  it.each([
    '#/work/plan',
    '#/work/plan/line1',
    '#/work/plan/a/b/c',
    '#/work/card',
    '#/work/card/a/b',
    '#/work/other',
    '#/report',
    '#/report/a/b',
  ])('%s is none', (hash) => {
    expect(parseRoute(hash)).toEqual({ screen: 'nowhere' });
  });
});
