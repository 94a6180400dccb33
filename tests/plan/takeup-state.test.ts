import { describe, expect, it, test } from 'vitest';
import { ASSUMPTION_SENTENCES, stateFaultSentence, takeupState } from '../../agent/plan/takeup-state.js';
import { plant, standing } from './plants.js';

const here = plant();

describe('how a take-up stands', () => {
  it('is taken from what is given', () => {
    const state = standing(here, {
      positionMm: 180,
      elongationPct: 0.5,
      pitches: 3190,
      springLeftMm: 270,
      springRightMm: 268,
      travelMmPerDay: 0.4,
      breathingMm: 5,
      thermalMm: 12,
    });
    expect(state).toMatchObject({ positionMm: 180, elongation: 0.005, pitches: 3190, travelMmPerDay: 0.4, breathingMm: 5, thermalMm: 12 });
    expect([state.sides.left.springMm, state.sides.right.springMm]).toEqual([270, 268]);
    expect(state.assumed).toEqual([]);
  });

  it('takes the rest for granted, and says what', () => {
    const state = standing(here, { positionMm: 100, elongationPct: 0.5 });
    expect(state).toMatchObject({ pitches: 3200, breathingMm: 0, thermalMm: 0, travelMmPerDay: undefined });
    // Set at 40 mm with the spring at 250 mm, and 60 mm further out now.
    expect(state.sides.left.springMm).toBe(310);
    expect(state.assumed).toEqual(['pitches-as-in-site', 'springs-as-set', 'no-breathing', 'no-heat', 'wear-rate-unknown']);
    for (const one of state.assumed) expect(ASSUMPTION_SENTENCES[one]).toMatch(/^The .+\.$/u);
  });

  it('says that an elongation rests on a step that nothing explains', () => {
    expect(standing(here, { positionMm: 100, elongationPct: 0.5, provisional: true }).assumed).toContain('elongation-provisional');
  });

  it('tells no days where the carriage does not travel outwards', () => {
    expect(standing(here, { positionMm: 100, elongationPct: 0.5, travelMmPerDay: -0.2 }).travelMmPerDay).toBeUndefined();
  });

  it('is refused with every fault at once', () => {
    const reading = takeupState(here.conveyor, here.takeup, {});
    expect(reading).toEqual({ ok: false, faults: [{ fault: 'position-missing' }, { fault: 'elongation-missing' }] });
  });

  test.each([
    [{ positionMm: 240, elongationPct: 0.5 }, 'position-outside-stroke'],
    [{ positionMm: -1, elongationPct: 0.5 }, 'position-outside-stroke'],
    [{ positionMm: NaN, elongationPct: 0.5 }, 'position-outside-stroke'],
    [{ positionMm: 100, elongationPct: 50 }, 'elongation-impossible'],
    [{ positionMm: 100, elongationPct: 0.5, pitches: 12.5 }, 'pitches-not-whole'],
    [{ positionMm: 100, elongationPct: 0.5, pitches: 0 }, 'pitches-not-whole'],
    [{ positionMm: 100, elongationPct: 0.5, springLeftMm: 0 }, 'spring-not-above-zero'],
    [{ positionMm: 100, elongationPct: 0.5, breathingMm: -2 }, 'breathing-negative'],
  ] as const)('%j cannot be: %s', (given, fault) => {
    const reading = takeupState(here.conveyor, here.takeup, given);
    expect(reading.ok ? [] : reading.faults.map((one) => one.fault)).toEqual([fault]);
    if (!reading.ok) expect(reading.faults.map((fault) => stateFaultSentence(fault, 'metric')).join()).toMatch(/: (count|give|measure) /u);
  });
});

it('has the springs that are in force, not those of the site file, once they were replaced', () => {
  const springs = { left: { ...here.takeup.spring, rateNPerMm: 25 }, right: here.takeup.spring };
  const { sides } = standing(here, { positionMm: 150, elongationPct: 0.3, springLeftMm: 280, springRightMm: 281, springs });
  expect(sides.left).toEqual({ spring: springs.left, springMm: 280 });
  expect(sides.right.spring.rateNPerMm).toBe(18);
});
