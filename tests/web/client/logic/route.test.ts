import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseRoute, takeupHref } from '../../../../web/client/logic/route.js';

describe('the address of a screen', () => {
  it.each([
    ['', { screen: 'floor' }],
    ['#', { screen: 'floor' }],
    ['#/', { screen: 'floor' }],
    ['#/alarms', { screen: 'alarms' }],
    ['#/people', { screen: 'people' }],
    ['#/wall', { screen: 'wall', pageMs: 15_000 }],
    ['#/wall?page=40', { screen: 'wall', pageMs: 40_000 }],
    ['#/wall?page=soon', { screen: 'wall', pageMs: 15_000 }],
    ['#/wall?page=0', { screen: 'wall', pageMs: 15_000 }],
    ['#/wall/more', { screen: 'nowhere' }],
    ['#/set-up', { screen: 'set-up', part: 'signals' }],
    ['#/set-up/site-file', { screen: 'set-up', part: 'site-file' }],
    ['#/set-up/nothing', { screen: 'nowhere' }],
    ['#/takeup/line1/tu1', { screen: 'takeup', conveyor: 'line1', takeup: 'tu1' }],
    ['#/takeup/line1', { screen: 'nowhere' }],
    ['#/takeup/line1/tu1/more', { screen: 'nowhere' }],
    ['#/alarms/more', { screen: 'nowhere' }],
    ['#/%', { screen: 'nowhere' }],
  ])('%j', (hash, route) => {
    expect(parseRoute(hash)).toEqual(route);
  });

  it('of a take-up leads back to it, whatever it is called', () => {
    fc.assert(
      fc.property(fc.string({ minLength: 1, unit: 'grapheme' }), fc.string({ minLength: 1, unit: 'grapheme' }), (conveyor, takeup) => {
        expect(parseRoute(takeupHref(conveyor, takeup))).toEqual({ screen: 'takeup', conveyor, takeup });
      }),
    );
  });
});
