import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { filterCovers } from '../../broker/topic-filter.js';

describe('a topic filter', () => {
  // The examples of MQTT 3.1.1 (OASIS Standard, 29 October 2014) §4.7.1.2, §4.7.1.3 and §4.7.2.
  it.each([
    ['sport/tennis/player1/#', 'sport/tennis/player1', true],
    ['sport/tennis/player1/#', 'sport/tennis/player1/ranking', true],
    ['sport/tennis/player1/#', 'sport/tennis/player1/score/wimbledon', true],
    ['sport/#', 'sport', true],
    ['sport/tennis/+', 'sport/tennis/player1', true],
    ['sport/tennis/+', 'sport/tennis/player1/ranking', false],
    ['sport/+', 'sport', false],
    ['sport/+', 'sport/', true],
    ['+/+', '/finance', true],
    ['/+', '/finance', true],
    ['+', '/finance', false],
    ['#', '$SYS/uptime', false],
    ['+/monitor/clients', '$SYS/monitor/clients', false],
    ['$SYS/#', '$SYS/uptime', true],
    ['ACCOUNTS', 'Accounts', false],
  ])('%s on a message to %s: %s', (filter, topic, matches) => {
    expect(filterCovers(filter, topic)).toBe(matches);
  });

  it.each([
    ['takeline/+/in/#', 'takeline/alder-point/in/#', true],
    ['takeline/+/in/#', 'takeline/+/in/#', true],
    ['takeline/+/in/#', 'takeline/alder-point/in/+/running', true],
    ['takeline/alder-point/in/#', 'takeline/+/in/#', false],
    ['takeline/+/in/#', 'takeline/#', false],
    ['takeline/+/in/#', '#', false],
    ['takeline/+/agent/+/status', 'takeline/+/agent/#', false],
    ['plc/a', '+/a', false],
    ['#', '$SYS/#', false],
  ])('%s allows one to ask for %s: %s', (allowed, asked, covered) => {
    expect(filterCovers(allowed, asked)).toBe(covered);
  });

  it('that is covered by another brings nothing that the other does not', () => {
    const level = fc.constantFrom('a', 'b', '');
    const topic = fc.array(level, { minLength: 1, maxLength: 4 }).map((levels) => levels.join('/'));
    const filter = fc
      .tuple(fc.array(fc.oneof(level, fc.constant('+')), { minLength: 1, maxLength: 3 }), fc.boolean())
      .map(([levels, all]) => [...levels, ...(all ? ['#'] : [])].join('/'));
    fc.assert(
      fc.property(filter, filter, topic, (allowed, asked, sent) => {
        fc.pre(filterCovers(allowed, asked) && filterCovers(asked, sent));
        expect(filterCovers(allowed, sent)).toBe(true);
      }),
    );
  });
});
