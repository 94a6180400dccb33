import { describe, expect, it } from 'vitest';
import { figuresOfNow, figuresOr } from '../../agent/plan/known-figures.js';
import { unknown } from '../../agent/units/unknown.js';

const NOW = {
  left: { springMm: 268 },
  right: { springMm: unknown('signal-lost') },
  breathingMm: 4,
  positionMm: 148,
  settledMm: 150,
  chain: { pitches: 3196, removedPitches: 4, elongationPct: 0.4, wearPerJointMm: 0.3, thermalMm: 20, elasticMm: 0, provisional: false },
  trend: { elongationPctPerDay: null, travelMmPerDay: 0.3, strokeOut: null, springSlack: null, wearLimit: null },
};

describe('what the live picture knows', () => {
  it('is the settled position, not the moment, and what is not known is left out', () => {
    expect(figuresOfNow(NOW)).toEqual({
      positionMm: 150,
      elongationPct: 0.4,
      pitches: 3196,
      springLeftMm: 270,
      springRightMm: undefined,
      travelMmPerDay: 0.3,
      breathingMm: 4,
      thermalMm: 20,
      provisional: false,
    });
    expect(figuresOfNow({ ...NOW, settledMm: unknown('not-settled') }).positionMm).toBeUndefined();
  });

  it('gives way to what a person says', () => {
    expect(figuresOr({ positionMm: 140, breathingMm: undefined }, figuresOfNow(NOW))).toMatchObject({
      positionMm: 140,
      breathingMm: 4,
      pitches: 3196,
    });
  });
});
