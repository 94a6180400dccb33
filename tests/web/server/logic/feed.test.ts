import { describe, expect, it } from 'vitest';
import { ChangesSince } from '../../../../web/server/logic/changes-since.js';
import { Feed } from '../../../../web/server/logic/feed.js';
import { LivePicture } from '../../../../web/server/logic/live-picture.js';
import { alarmOf, nowOf } from '../../a-takeup.js';

function shown() {
  const picture = new LivePicture(new Set(['line1/tu1', 'line1/tu2']), 0);
  const changes = new ChangesSince();
  const hear = (positionMm: number, takeup = 'tu1') => changes.note(picture.push({ kind: 'now', message: nowOf({ takeup, positionMm }) }));
  /** As the live connection does it. */
  const next = (feed: Feed, atMs: number) => {
    const from = feed.dueFrom(changes.now(), atMs);
    if (from === undefined) return undefined;
    feed.sent(changes.now(), atMs);
    return changes.message(from, picture, atMs);
  };
  return { picture, changes, hear, next, feed: new Feed(0, 0) };
}

describe('what a screen is told', () => {
  it('is nothing where nothing changed', () => {
    const { feed, next } = shown();
    expect(next(feed, 250)).toBeUndefined();
  });

  it('is only what changed', () => {
    const { feed, hear, next } = shown();
    hear(90);
    expect(next(feed, 250)).toEqual({ atMs: 250, takeups: [nowOf({ positionMm: 90 })] });
    feed.taken();
    hear(20, 'tu2');
    expect(next(feed, 500)).toEqual({ atMs: 500, takeups: [nowOf({ takeup: 'tu2', positionMm: 20 })] });
  });

  it('is the latest of each take-up, once, however slow the screen is', () => {
    const { feed, hear, next } = shown();
    hear(90);
    next(feed, 250);
    for (const positionMm of [91, 92, 93]) hear(positionMm);
    hear(20, 'tu2');
    expect(next(feed, 500)).toBeUndefined();
    feed.taken();
    expect(next(feed, 750)?.takeups?.map(({ positionMm }) => positionMm)).toEqual([93, 20]);
  });

  it('is a sign of life every second, so that quiet is told from broken', () => {
    const { feed, next } = shown();
    expect(next(feed, 999)).toBeUndefined();
    expect(next(feed, 1_000)).toEqual({ atMs: 1_000 });
  });

  it('is the whole list of standing alarms when one changed', () => {
    const { picture, changes, feed, next } = shown();
    changes.note(picture.push({ kind: 'now', message: nowOf({ alarms: [alarmOf()] }) }));
    expect(next(feed, 250)?.standing).toMatchObject([{ alarm: 'stroke-end' }]);
    feed.taken();
    changes.note(picture.push({ kind: 'now', message: nowOf({ alarms: [] }) }));
    expect(next(feed, 500)?.standing).toEqual([]);
  });

  it('is the link when that changed', () => {
    const { picture, changes, feed, next } = shown();
    changes.note(picture.push({ kind: 'broker', connected: true, atMs: 100 }));
    expect(next(feed, 250)).toEqual({ atMs: 250, link: picture.linkState() });
  });

  it('is one message for all that have been told the same, and its own for one that is behind', () => {
    const { changes, hear, next, feed } = shown();
    const others = [new Feed(0, 0), new Feed(0, 0)];
    hear(90);
    next(feed, 250);
    feed.taken();
    hear(20, 'tu2');
    const due = [feed, ...others].map((screen) => screen.dueFrom(changes.now(), 500));
    expect(due).toEqual([1, 0, 0]);
    expect(next(feed, 500)?.takeups).toHaveLength(1);
    expect(others.map((screen) => next(screen, 500)?.takeups?.length)).toEqual([2, 2]);
  });

  it('tells how long a message has not been taken', () => {
    const { feed, hear, next } = shown();
    expect(feed.waitingSinceMs()).toBeUndefined();
    hear(90);
    next(feed, 250);
    expect(feed.waitingSinceMs()).toBe(250);
    feed.taken();
    expect(feed.waitingSinceMs()).toBeUndefined();
  });
});
