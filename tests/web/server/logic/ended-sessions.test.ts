import { describe, expect, it } from 'vitest';
import { EndedSessions } from '../../../../web/server/logic/ended-sessions.js';

describe('sessions that were signed out', () => {
  it('stay ended for as long as their cookie could be shown', () => {
    const ended = new EndedSessions(1_000);
    ended.end('a', 0);
    ended.end('b', 500);
    expect([ended.has('a'), ended.has('b'), ended.has('c')]).toEqual([true, true, false]);
  });

  it('are forgotten when the cookie has run out by itself', () => {
    const ended = new EndedSessions(1_000);
    for (let time = 0; time < 100_000; time += 100) ended.end(`session ${time}`, time);
    expect(ended.size).toBeLessThanOrEqual(11);
  });
});
