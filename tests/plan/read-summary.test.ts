import { describe, expect, it, test } from 'vitest';
import { readSummary, summaryFaultSentence } from '../../agent/plan/read-summary.js';

const SUMMARY = {
  site: 'alder-point',
  recording: {},
  takeups: [
    {
      conveyor: 'enamel',
      takeup: 'tu1',
      positionMm: 124.67,
      breathingMm: 3.84,
      chain: { pitches: 3200, elongationPct: 0.04, thermalMm: 70.2, provisional: true },
      spring: { leftMm: 334, rightMm: null },
      trend: { travelMmPerDay: null },
    },
  ],
};

describe('the summary of a replay', () => {
  it('says how a take-up stands, and leaves out what it does not know', () => {
    expect(readSummary(SUMMARY, 'alder-point', 'enamel', 'tu1')).toEqual({
      ok: true,
      figures: {
        positionMm: 124.67,
        elongationPct: 0.04,
        pitches: 3200,
        springLeftMm: 334,
        springRightMm: undefined,
        travelMmPerDay: undefined,
        breathingMm: 3.84,
        thermalMm: 70.2,
        provisional: true,
      },
    });
  });

  test.each([
    [{}, 'enamel', 'it has no list of take-ups'],
    [null, 'enamel', 'it has no list of take-ups'],
    [{ ...SUMMARY, takeups: [{ ...SUMMARY.takeups[0], positionMm: 'far' }] }, 'enamel', 'positionMm is no number'],
    [{ ...SUMMARY, site: 'forge' }, 'enamel', 'of the site forge'],
    [SUMMARY, 'wash', 'does not have the take-up'],
  ])('is refused with the reason where it will not do (%#)', (json, conveyor, said) => {
    const reading = readSummary(json, 'alder-point', conveyor, 'tu1');
    expect(reading.ok ? '' : summaryFaultSentence(reading.fault)).toContain(said);
  });
});
