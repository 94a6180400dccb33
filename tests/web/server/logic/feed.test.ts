import { describe, expect, it } from 'vitest';
import { Feed } from '../../../../web/server/logic/feed.js';
import { LivePicture } from '../../../../web/server/logic/live-picture.js';
import { alarmOf, nowOf } from '../../a-takeup.js';

function shown() {
  const picture = new LivePicture(new Set(['line1/tu1', 'line1/tu2']), 0);
  const feed = new Feed(0);
  const hear = (positionMm: number, takeup = 'tu1') => feed.note(picture.push({ kind: 'now', message: nowOf({ takeup, positionMm }) }));
  return { picture, feed, hear };
}

describe('what a screen is told', () => {
  it('is nothing where nothing changed', () => {
    const { picture, feed } = shown();
    expect(feed.next(picture, 250)).toBeUndefined();
  });

  it('is only what changed', () => {
    const { picture, feed, hear } = shown();
    hear(90);
    expect(feed.next(picture, 250)).toEqual({ atMs: 250, takeups: [nowOf({ positionMm: 90 })] });
  });

  it('is the latest of each take-up, once, however slow the screen is', () => {
    const { picture, feed, hear } = shown();
    hear(90);
    feed.next(picture, 250);
    for (const positionMm of [91, 92, 93]) hear(positionMm);
    hear(20, 'tu2');
    expect(feed.next(picture, 500)).toBeUndefined();
    feed.taken();
    expect(feed.next(picture, 750)?.takeups?.map(({ positionMm }) => positionMm)).toEqual([93, 20]);
  });

  it('is a sign of life every second, so that quiet is told from broken', () => {
    const { picture, feed } = shown();
    expect(feed.next(picture, 999)).toBeUndefined();
    expect(feed.next(picture, 1_000)).toEqual({ atMs: 1_000 });
  });

  it('is the whole list of standing alarms when one changed', () => {
    const { picture, feed } = shown();
    feed.note(picture.push({ kind: 'now', message: nowOf({ alarms: [alarmOf()] }) }));
    expect(feed.next(picture, 250)?.standing).toMatchObject([{ alarm: 'stroke-end' }]);
    feed.taken();
    feed.note(picture.push({ kind: 'now', message: nowOf({ alarms: [] }) }));
    expect(feed.next(picture, 500)?.standing).toEqual([]);
  });

  it('tells how long a message has not been taken', () => {
    const { picture, feed, hear } = shown();
    expect(feed.waitingSinceMs()).toBeUndefined();
    hear(90);
    feed.next(picture, 250);
    expect(feed.waitingSinceMs()).toBe(250);
    feed.taken();
    expect(feed.waitingSinceMs()).toBeUndefined();
  });
});
