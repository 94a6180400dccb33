import { describe, expect, it } from 'vitest';
import type { AgentState } from '../../../../web/server/logic/live-messages.js';
import { SilentAlarm } from '../../../../web/server/logic/silent-alarm.js';

const HEARD: AgentState = { state: 'heard' };
const SILENT: AgentState = { state: 'silent', sinceMs: 10_000, why: 'no-heartbeat' };

function raised(): SilentAlarm {
  const alarm = new SilentAlarm();
  alarm.judge(SILENT, 40_000);
  return alarm;
}

describe('the alarm of a silent agent', () => {
  it('is raised once, with how long it has been silent', () => {
    const alarm = new SilentAlarm();
    expect(alarm.judge(HEARD, 9_000)).toBe(false);
    expect(alarm.judge(SILENT, 40_000)).toBe(true);
    expect(alarm.judge(SILENT, 41_000)).toBe(false);
    expect(alarm.entry()).toMatchObject({
      alarm: 'agent-silent',
      state: 'unacknowledged',
      since: '1970-01-01T00:00:40.000Z',
      value: 30,
      unit: 's',
    });
  });

  it('waits to be acknowledged when the agent is back before anybody saw it', () => {
    const alarm = raised();
    expect(alarm.judge(HEARD, 50_000)).toBe(true);
    expect(alarm.entry()?.state).toBe('returned-unacknowledged');
    expect(alarm.acknowledge()).toBe(true);
    expect(alarm.entry()).toBeUndefined();
  });

  it('goes by itself once acknowledged', () => {
    const alarm = raised();
    alarm.acknowledge();
    expect(alarm.entry()?.state).toBe('acknowledged');
    alarm.judge(HEARD, 50_000);
    expect(alarm.entry()).toBeUndefined();
  });

  it('is raised anew when the agent falls silent again before anybody saw it', () => {
    const alarm = raised();
    alarm.judge(HEARD, 50_000);
    expect(alarm.judge(SILENT, 90_000)).toBe(true);
    expect(alarm.entry()?.state).toBe('unacknowledged');
  });

  it('is nothing to acknowledge while there is none', () => {
    expect(new SilentAlarm().acknowledge()).toBe(false);
  });

  it('is not touched while the agent is only waited for', () => {
    const alarm = raised();
    expect(alarm.judge({ state: 'awaited' }, 50_000)).toBe(false);
  });
});
