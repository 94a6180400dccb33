import { describe, expect, it } from 'vitest';
import type { AgentStatus } from '../../../../agent/contract/messages.js';
import { AgentHearing } from '../../../../web/server/logic/agent-hearing.js';

const status = (running: boolean, agent = 'agent'): AgentStatus => ({
  version: 1,
  agent,
  site: 'alder-point',
  running,
  time: '2020-01-01T00:00:00Z',
});

function listening(): AgentHearing {
  const hearing = new AgentHearing(0);
  hearing.brokerIs(true);
  return hearing;
}

describe('whether the agent is heard', () => {
  it('is waited for at first, for 30 s', () => {
    const hearing = listening();
    expect(hearing.stateAt(29_999)).toEqual({ state: 'awaited' });
    expect(hearing.stateAt(30_000)).toEqual({ state: 'silent', sinceMs: 0, why: 'never-heard' });
  });

  it('is, for 30 s after each heartbeat, whatever the time on its own clock', () => {
    const hearing = listening();
    hearing.heard(status(true), 5_000);
    expect(hearing.stateAt(34_999)).toEqual({ state: 'heard' });
    expect(hearing.stateAt(35_000)).toEqual({ state: 'silent', sinceMs: 5_000, why: 'no-heartbeat' });
    hearing.heard(status(true), 40_000);
    expect(hearing.stateAt(40_000)).toEqual({ state: 'heard' });
  });

  it('is not, at once, when its will says that it ended', () => {
    const hearing = listening();
    hearing.heard(status(true), 5_000);
    hearing.heard(status(false), 6_000);
    expect(hearing.stateAt(6_000)).toEqual({ state: 'silent', sinceMs: 6_000, why: 'ended' });
  });

  it('says that the broker is away where that is why', () => {
    const hearing = listening();
    hearing.heard(status(true), 5_000);
    hearing.brokerIs(false);
    expect(hearing.stateAt(20_000)).toEqual({ state: 'heard' });
    expect(hearing.stateAt(60_000)).toEqual({ state: 'silent', sinceMs: 5_000, why: 'broker-away' });
  });

  it('is, while one of several runs', () => {
    const hearing = listening();
    hearing.heard(status(false, 'north'), 1_000);
    hearing.heard(status(true, 'south'), 2_000);
    expect(hearing.stateAt(3_000)).toEqual({ state: 'heard' });
  });
});
