import { describe, expect, it } from 'vitest';
import type { AgentStatus } from '../../../../agent/contract/messages.js';
import { LivePicture } from '../../../../web/server/logic/live-picture.js';
import { alarmOf, nowOf } from '../../a-takeup.js';

const RUNNING: AgentStatus = { version: 1, agent: 'agent', site: 'alder-point', running: true, time: '2026-03-02T09:00:00Z' };

function listening(): LivePicture {
  const picture = new LivePicture(new Set(['line1/tu1', 'line1/tu2']), 0);
  picture.push({ kind: 'broker', connected: true, atMs: 0 });
  picture.push({ kind: 'status', message: RUNNING, atMs: 1_000 });
  return picture;
}

describe('the picture of the present', () => {
  it('holds the latest of each take-up', () => {
    const picture = listening();
    expect(picture.push({ kind: 'now', message: nowOf({ positionMm: 90 }) })).toMatchObject({ takeup: 'line1/tu1' });
    picture.push({ kind: 'now', message: nowOf({ positionMm: 91 }) });
    picture.push({ kind: 'now', message: nowOf({ takeup: 'tu2', positionMm: 12 }) });
    expect(picture.whole(2_000).takeups.map(({ takeup, positionMm }) => [takeup, positionMm])).toEqual([
      ['tu1', 91],
      ['tu2', 12],
    ]);
  });

  it('leaves out what the site file does not know', () => {
    const picture = listening();
    expect(picture.push({ kind: 'now', message: nowOf({ takeup: 'tu9', alarms: [alarmOf()] }) })).toEqual({ standing: false, link: false });
    expect(picture.whole(2_000)).toMatchObject({ takeups: [], standing: [] });
  });

  it('says when the broker goes, and keeps what it knew', () => {
    const picture = listening();
    picture.push({ kind: 'now', message: nowOf() });
    expect(picture.push({ kind: 'broker', connected: false, atMs: 5_000 })).toMatchObject({ link: true });
    expect(picture.whole(5_000).link.broker).toEqual({ connected: false, sinceMs: 5_000 });
    expect(picture.whole(5_000).takeups).toHaveLength(1);
    picture.push({ kind: 'broker', connected: false, atMs: 7_000 });
    expect(picture.linkState().broker.sinceMs).toBe(5_000);
  });

  it('has the page that nobody took about a silent agent among them too, until it is taken and acknowledged', () => {
    const picture = listening();
    const up = picture.push({ kind: 'silence-unanswered', open: { forS: 1810, allowedS: 1800 }, atMs: 40_000 });
    expect(up).toMatchObject({ standing: true, silence: { alarm: 'page-unanswered', priority: 'urgent', change: 'raised' } });
    expect(picture.push({ kind: 'silence-unanswered', open: { forS: 1820, allowedS: 1800 }, atMs: 50_000 })).toMatchObject({
      standing: false,
    });
    expect(picture.standingAlarms()).toMatchObject([{ alarm: 'page-unanswered', state: 'unacknowledged', value: 1810, limit: 1800 }]);
    picture.push({ kind: 'silence-unanswered', atMs: 60_000 });
    expect(picture.standingAlarms()).toMatchObject([{ state: 'returned-unacknowledged' }]);
    picture.push({ kind: 'own-acknowledged', alarm: 'page-unanswered', by: 'ola', atMs: 70_000 });
    expect(picture.standingAlarms()).toEqual([]);
  });

  it('has a silent agent among the standing alarms, before all others', () => {
    const picture = listening();
    picture.push({ kind: 'now', message: nowOf({ alarms: [alarmOf()] }) });
    expect(picture.push({ kind: 'tick', atMs: 30_000 })).toEqual({ standing: false, link: false });
    expect(picture.push({ kind: 'tick', atMs: 31_000 })).toMatchObject({ standing: true, link: true, silence: { change: 'raised' } });
    expect(picture.standingAlarms().map(({ alarm }) => alarm)).toEqual(['agent-silent', 'stroke-end']);
    expect(picture.push({ kind: 'own-acknowledged', alarm: 'agent-silent', by: 'ola', atMs: 32_000 }).standing).toBe(true);
    expect(picture.push({ kind: 'status', message: RUNNING, atMs: 33_000 })).toMatchObject({ standing: true, link: true });
    expect(picture.standingAlarms().map(({ alarm }) => alarm)).toEqual(['stroke-end']);
  });
});
