import { describe, expect, it } from 'vitest';
import type { AgentState } from '../../../../web/server/logic/live-messages.js';
import { OwnAlarm, type SilenceEvent } from '../../../../web/server/logic/own-alarm.js';
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
    expect(alarm.judge(HEARD, 9_000)).toBeUndefined();
    expect(alarm.judge(SILENT, 40_000)).toMatchObject({
      ...{ timeMs: 40_000, change: 'raised', from: 'normal', to: 'unacknowledged', value: 30, limit: 30, unit: 's' },
    });
    expect(alarm.judge(SILENT, 41_000)).toBeUndefined();
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
    expect(alarm.judge(HEARD, 50_000)).toMatchObject({ change: 'cleared', to: 'returned-unacknowledged' });
    expect(alarm.entry()?.state).toBe('returned-unacknowledged');
    expect(alarm.acknowledge('ola', 60_000)).toMatchObject({ change: 'acknowledged', to: 'normal', by: 'ola', timeMs: 60_000 });
    expect(alarm.entry()).toBeUndefined();
  });

  it('goes by itself once acknowledged', () => {
    const alarm = raised();
    alarm.acknowledge('ola', 45_000);
    expect(alarm.entry()?.state).toBe('acknowledged');
    expect(alarm.judge(HEARD, 50_000)).toMatchObject({ change: 'cleared', from: 'acknowledged', to: 'normal' });
    expect(alarm.entry()).toBeUndefined();
  });

  it('is raised anew when the agent falls silent again before anybody saw it', () => {
    const alarm = raised();
    alarm.judge(HEARD, 50_000);
    expect(alarm.judge(SILENT, 90_000)).toMatchObject({ from: 'returned-unacknowledged', to: 'unacknowledged' });
    expect(alarm.entry()?.state).toBe('unacknowledged');
  });

  it('is nothing to acknowledge while there is none', () => {
    expect(new SilentAlarm().acknowledge('ola', 1)).toBeUndefined();
  });

  it('is not touched while the agent is only waited for', () => {
    expect(raised().judge({ state: 'awaited' }, 50_000)).toBeUndefined();
  });

  it('goes on after a restart as its transitions left it', () => {
    const first = new SilentAlarm();
    const events = [first.judge(SILENT, 40_000), first.acknowledge('ola', 45_000)].flatMap((event): SilenceEvent[] =>
      event ? [event] : [],
    );
    const second = new SilentAlarm(events);
    expect(second.entry()).toEqual(first.entry());
    expect(second.judge(HEARD, 50_000)).toMatchObject({ from: 'acknowledged', to: 'normal' });
  });
});

describe('the alarm that nobody took the page about the silent agent', () => {
  it('is urgent, goes on after a restart, and waits to be acknowledged where somebody took the page', () => {
    const first = new OwnAlarm('page-unanswered', 'urgent', []);
    const raised = first.raise(1810, 1800, 40_000);
    expect(raised).toMatchObject({ alarm: 'page-unanswered', priority: 'urgent', change: 'raised', value: 1810, limit: 1800, unit: 's' });
    expect(first.raise(1820, 1800, 50_000)).toBeUndefined();
    const other = new SilentAlarm([raised!]);
    expect(other.entry()).toBeUndefined();
    const second = new OwnAlarm('page-unanswered', 'urgent', [raised!]);
    expect(second.entry()).toEqual(first.entry());
    expect(second.clear(60_000)).toMatchObject({ to: 'returned-unacknowledged' });
    expect(second.acknowledge('ola', 70_000)).toMatchObject({ to: 'normal', by: 'ola' });
    expect(second.entry()).toBeUndefined();
  });
});
