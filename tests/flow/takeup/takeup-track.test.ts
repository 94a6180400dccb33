import { describe, expect, it } from 'vitest';
import type { Takeup } from '../../../agent/site/site.js';
import { side, testSite } from '../way/test-site.js';
import { readPosition, readSpring, trackOf } from './track.js';

const plain = (): Takeup => testSite().conveyors[0]!.takeups[0]!;
const measured = (): Takeup => testSite({ takeup: { sides: { left: side({ spring: {} }), right: side() } } }).conveyors[0]!.takeups[0]!;

describe('a take-up with two sides read', () => {
  it('has the mean as its position, left less right as its skew, and its springs followed from the carriage', () => {
    const track = trackOf(plain());
    readPosition(track.left, 48);
    readPosition(track.right, 44);
    expect([track.xMm, track.smoothedMm, track.skewMm]).toEqual([46, 46, 4]);
    expect([track.left.springMm, track.right.springMm]).toEqual([208, 204]);
    // 18 N/mm on 112 and 116 mm of compression; half of the sum in each strand.
    expect(track.carriageForceN).toBeCloseTo(18 * (112 + 116), 9);
    expect(track.strandTensionN).toBeCloseTo((18 * (112 + 116)) / 2, 9);
    expect(track.marginToSolidMm).toBe(54);
  });

  it('knows nothing of the whole while one side is not known, and says why', () => {
    const track = trackOf(plain());
    readPosition(track.left, 48);
    expect([track.xMm, track.skewMm, track.strandTensionN]).toEqual([NaN, NaN, NaN]);
    expect(track.right.whyPositionUnknown).toBe('never-read');
    readPosition(track.right, 44);
    track.right.positionSampler.loseNow();
    expect([track.xMm, track.strandTensionN, track.right.forceN]).toEqual([NaN, NaN, NaN]);
    expect(track.right.whyPositionUnknown).toBe('signal-lost');
    expect(track.left.forceN).toBeCloseTo(18 * 112, 9);
  });
});

describe('a spring with a sensor of its own', () => {
  it('is as long as that says, not as the carriage would have it', () => {
    const track = trackOf(measured());
    readPosition(track.left, 48);
    readSpring(track.left, 231);
    expect(track.left.springMm).toBe(231);
    expect(track.left.forceN).toBeCloseTo(18 * (320 - 231), 9);
  });

  it('is unknown with that sensor, though the carriage be known', () => {
    const track = trackOf(measured());
    readPosition(track.left, 48);
    expect([track.left.springMm, track.left.forceN]).toEqual([NaN, NaN]);
    expect(track.left.whySpringUnknown).toBe('never-read');
    readSpring(track.left, 231);
    track.left.springSampler!.loseNow();
    expect([track.left.springMm, track.left.forceN]).toEqual([NaN, NaN]);
    expect(track.left.whySpringUnknown).toBe('signal-lost');
    expect(track.left.xMm).toBe(48);
  });
});
