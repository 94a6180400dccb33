import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  LEAST_WIDTH_MS,
  atLiveEnd,
  fit,
  latest,
  pan,
  widthOf,
  windowAfterKey,
  zoom,
  type TimeWindow,
} from '../../../../web/client/logic/time-window.js';

const DAY = 86_400_000;
const BOUNDS: TimeWindow = { fromMs: 0, toMs: 400 * DAY };
const WEEK: TimeWindow = { fromMs: 100 * DAY, toMs: 107 * DAY };

describe('the time that a chart shows', () => {
  it('moves by a tenth of itself with an arrow, by all of itself with shift', () => {
    expect(windowAfterKey(WEEK, 'ArrowRight', false, BOUNDS)).toEqual({ fromMs: 100.7 * DAY, toMs: 107.7 * DAY });
    expect(windowAfterKey(WEEK, 'ArrowLeft', true, BOUNDS)).toEqual({ fromMs: 93 * DAY, toMs: 100 * DAY });
  });

  it('comes nearer and goes further off around what is looked at', () => {
    const near = zoom(WEEK, 0.5, BOUNDS, 101 * DAY);
    expect(widthOf(near)).toBe(3.5 * DAY);
    expect((101 * DAY - near.fromMs) / widthOf(near)).toBeCloseTo(1 / 7, 9);
    expect(zoom(near, 2, BOUNDS, 101 * DAY)).toEqual(WEEK);
  });

  it('shows everything with Home, the present with End', () => {
    expect(windowAfterKey(WEEK, 'Home', false, BOUNDS)).toEqual(BOUNDS);
    expect(windowAfterKey(WEEK, 'End', false, BOUNDS)).toEqual({ fromMs: 393 * DAY, toMs: 400 * DAY });
    expect(windowAfterKey(WEEK, 'a', false, BOUNDS)).toBeUndefined();
  });

  it('follows the present while it ends there', () => {
    expect(atLiveEnd(latest(DAY, BOUNDS), BOUNDS)).toBe(true);
    expect(atLiveEnd(pan(latest(DAY, BOUNDS), -0.5, BOUNDS), BOUNDS)).toBe(false);
  });

  it('never leaves what there is, and never becomes too narrow to show anything', () => {
    const days = fc.double({ min: -1000, max: 1000, noNaN: true });
    fc.assert(
      fc.property(days, days, fc.double({ min: 0.001, max: 1000, noNaN: true }), (from, width, factor) => {
        for (const window of [fit({ fromMs: from * DAY, toMs: (from + width) * DAY }, BOUNDS), zoom(WEEK, factor, BOUNDS, from * DAY)]) {
          expect(window.fromMs).toBeGreaterThanOrEqual(BOUNDS.fromMs);
          expect(window.toMs).toBeLessThanOrEqual(BOUNDS.toMs + 1e-3);
          expect(widthOf(window)).toBeGreaterThanOrEqual(LEAST_WIDTH_MS - 1e-3);
        }
      }),
    );
  });

  it('is as wide as it can be seen where there is hardly anything yet', () => {
    expect(latest(DAY, { fromMs: 0, toMs: 10_000 })).toEqual({ fromMs: 10_000 - LEAST_WIDTH_MS, toMs: 10_000 });
  });
});
