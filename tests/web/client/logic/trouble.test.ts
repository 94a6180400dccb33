import { describe, expect, it } from 'vitest';
import type { AgentState, LinkState } from '../../../../web/server/logic/live-messages.js';
import { troubleOf, type Connection } from '../../../../web/client/logic/trouble.js';

const LIVE: Connection = { state: 'live', sinceMs: 0 };
const link = (agent: AgentState, connected = true): LinkState => ({ broker: { connected, sinceMs: 500 }, agent });

describe('why a screen may be stale', () => {
  it('is nothing while the agent is heard, or waited for', () => {
    expect(troubleOf(LIVE, link({ state: 'heard' }))).toBeUndefined();
    expect(troubleOf(LIVE, link({ state: 'awaited' }))).toBeUndefined();
    expect(troubleOf({ state: 'connecting', sinceMs: 0 }, undefined)).toBeUndefined();
  });

  it('is what is broken nearest to the screen', () => {
    const silent = link({ state: 'silent', sinceMs: 100, why: 'broker-away' }, false);
    expect(troubleOf({ state: 'broken', sinceMs: 900 }, silent)).toMatchObject({ where: 'connection', sinceMs: 900 });
    expect(troubleOf(LIVE, silent)).toMatchObject({ where: 'broker', sinceMs: 500 });
  });

  it.each(['ended', 'no-heartbeat', 'never-heard'] as const)('says of an agent that is silent (%s) what to do', (why) => {
    const trouble = troubleOf(LIVE, link({ state: 'silent', sinceMs: 100, why }));
    expect(trouble).toMatchObject({ where: 'agent', sinceMs: 100, headline: expect.stringMatching(/agent/i) as string });
    expect(trouble?.detail).not.toBe('');
  });
});
