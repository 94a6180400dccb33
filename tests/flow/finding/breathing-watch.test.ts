import { describe, expect, it } from 'vitest';
import { BreathingWatch, type BreathingWatchSaved } from '../../../agent/flow/finding/breathing-watch.js';

/** A watch that has seen so many windows of a normal breathing. */
function taught(windows: number, breathingMm = 4, noiseMm = 0): BreathingWatch {
  const watch = new BreathingWatch();
  for (let i = 0; i < windows; i++) watch.push(breathingMm + 0.2 * Math.sin(i), noiseMm);
  return watch;
}

describe('whether a carriage breathes', () => {
  it('is a share of its own normal, once enough is known of that', () => {
    expect(taught(20).push(4, 0)).toBeNaN();
    expect(taught(200).push(4, 0)).toBeCloseTo(1, 1);
    expect(taught(200).push(0.4, 0)).toBeCloseTo(0.1, 2);
  });

  it('does not come to count standing still as normal, however long it lasts', () => {
    const watch = taught(200);
    for (let i = 0; i < 2000; i++) expect(watch.push(0.3, 0)).toBeLessThan(0.1);
  });

  it('follows a normal that changes by and by', () => {
    const watch = taught(200, 4);
    for (let i = 0; i < 600; i++) watch.push(4 - (1.5 * i) / 600, 0);
    expect(watch.push(2.5, 0)).toBeGreaterThan(0.8);
  });

  it('is judged with the sensors’ noise taken off', () => {
    // 0.1 mm of noise ranges over 0.33 mm: a carriage that stands still shows that and no more.
    expect(taught(200, 4, 0.1).push(0.33, 0.1)).toBeLessThan(0.03);
    expect(taught(200, 4, 0).push(0.33, 0)).toBeGreaterThan(0.07);
  });

  it('cannot be judged where its normal is not far above the noise', () => {
    expect(taught(200, 1, 0.15).push(0.1, 0.15)).toBeNaN();
  });

  it('goes on from what was saved through JSON as if nothing had been', () => {
    const watch = taught(200);
    const back = new BreathingWatch(JSON.parse(JSON.stringify(watch.save())) as BreathingWatchSaved);
    expect(back.push(1, 0)).toBe(watch.push(1, 0));
  });
});
