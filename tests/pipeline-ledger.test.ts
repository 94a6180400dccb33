import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import type { SettledDayOutput } from '../agent/flow/output.js';
import { settledFigures } from '../agent/flow/way/takeup-figures.js';
import { carriageMm, SET, tensionAt, type ChainModel, type ChainState } from './flow/way/chain-model.js';
import { HOUR_MS, MINUTE_MS, readings, run, served, sides, told, type Run, type TestInput } from './flow/way/run.js';
import { side, START_MS, testSite } from './flow/way/test-site.js';

/** The chain of the tests' site as the closure has it, apart from the program. */
const MODEL: ChainModel = { pitchMm: 76.2, gain: 2, reference: { pitches: 3200, elongation: 0, positionMm: 40 } };
const SITE = testSite({ position: { period_s: 60 }, conveyor: { signals: { running: { period_s: 60 } } } });
const DAY_MS = 24 * HOUR_MS;
/** Noon of the second day, in a stop of an hour. */
const WORK_MS = START_MS + 30 * HOUR_MS;
const END_MS = START_MS + 4 * DAY_MS;

/** Wear that has moved the carriage out by 80 mm, and goes on at 0.6 mm a day. */
const wear = (timeMs: number): number => (160 + (1.2 * (timeMs - START_MS)) / DAY_MS) / (3200 * 76.2);
const running = (timeMs: number): Record<string, number> => ({ 'line/running': Math.abs(timeMs - WORK_MS) < HOUR_MS / 2 ? 0 : 1 });

/** Readings once a minute of a conveyor that stands for the hour around the work. */
function recording(position: (timeMs: number) => number, untilMs = END_MS): TestInput[] {
  return readings(START_MS, untilMs, 60, (timeMs) => ({ ...running(timeMs), ...sides(position(timeMs)) }));
}

const at =
  (state: (timeMs: number) => ChainState, model = MODEL) =>
  (timeMs: number): number =>
    carriageMm(model, state(timeMs));
/** A chain of which so many pitches are taken out in the stop. */
const shortened = (pitches: number): ((timeMs: number) => number) =>
  at((timeMs) => ({ pitches: timeMs < WORK_MS ? 3200 : 3200 - pitches, elongation: wear(timeMs) }));

/** ε in % at the middle of each day's readings: wear is even, so that is their median. */
function wornPct(date: string): number {
  const noon = Date.parse(`${date}T11:00:00Z`);
  const [from, to] = [Math.max(START_MS, noon - DAY_MS / 2), Math.min(END_MS, noon + DAY_MS / 2)];
  return wear((from + to) / 2) * 100;
}
const near = (day: SettledDayOutput, pct: number): void => {
  // A day's median falls between windows of a quarter of an hour: 0.02 mm of wear.
  expect(Math.abs(day.elongationPct - pct), `${day.date}: ${day.elongationPct} against ${pct}`).toBeLessThan(0.00002);
};
const concerning = ({ alarms }: Run): string[] => told(alarms.filter(({ alarm }) => alarm === 'change-unrecorded'));

describe('a chain that wears', () => {
  const worn = run(SITE, recording(at((timeMs) => ({ pitches: 3200, elongation: wear(timeMs) }))));

  it('shows its elongation day by day, by the joint too', () => {
    expect(worn.days.map(({ date }) => date)).toEqual(['2026-01-05', '2026-01-06', '2026-01-07', '2026-01-08', '2026-01-09']);
    for (const day of worn.days) {
      near(day, wornPct(day.date));
      expect(day.wearPerJointMm).toBeCloseTo((day.elongationPct / 100) * 76.2, 9);
      expect(day).toMatchObject({ pitches: 3200, flag: 'value', thermalMm: 0, elasticMm: 0 });
      expect(day.skewMm).toBeCloseTo(0, 2);
    }
  });

  it('lets its springs grow with the carriage, and its tension fall', () => {
    for (const day of worn.days) {
      expect(day.springLeftMm).toBeCloseTo(SET.springMm + day.positionMm - 40, 2);
      expect(day.strandTensionN).toBeCloseTo(18 * (320 - day.springLeftMm), 1);
    }
  });

  it('says nothing of a change', () => {
    expect(concerning(worn)).toEqual([]);
    expect(worn.findings.filter(({ moveMm }) => moveMm !== null)).toEqual([]);
  });
});

describe('a length taken out', () => {
  const entry = served(SITE, WORK_MS, { kind: 'chain-removed', pitches: 2, id: 'cut' });
  const recorded = run(SITE, [...recording(shortened(2)), entry]);

  it('draws the carriage in by half of it, worn as it is, and leaves the elongation as it was', () => {
    const [before, , after] = recorded.days;
    near(before!, wornPct(before!.date));
    near(after!, wornPct(after!.date));
    // k·p·(1 + ε)/g, less the 1.2 mm by which the chain wore in the two days between the middles of both.
    const drawn = before!.positionMm - after!.positionMm;
    expect(drawn).toBeCloseTo(
      (2 * 76.2 * (1 + after!.elongationPct / 100)) / 2 - (((after!.elongationPct - before!.elongationPct) / 100) * 3200 * 76.2) / 2,
      2,
    );
    expect(recorded.days.map(({ pitches }) => pitches)).toEqual([3200, 3198, 3198, 3198, 3198]);
    expect(recorded.pipeline.ways[0]!.account.ledger.eraAt(END_MS).removedPitches).toBe(2);
  });

  it('and written down is a finding that is accounted for, and no alarm', () => {
    expect(concerning(recorded)).toEqual([]);
    expect(recorded.findings.filter(({ moveMm }) => moveMm !== null)).toMatchObject([
      { finding: 'chain-removed', text: expect.stringContaining('accounted for') as string },
    ]);
    expect(recorded.findings[0]).not.toHaveProperty('suggestion');
    expect(recorded.days.every(({ flag }) => flag === 'value')).toBe(true);
  });

  const unrecorded = run(SITE, recording(shortened(2)));

  it('and not written down suggests the entry that would explain it', () => {
    const [finding, ...others] = unrecorded.findings.filter(({ moveMm }) => moveMm !== null);
    expect(others).toEqual([]);
    expect(finding).toMatchObject({ finding: 'chain-removed', suggestion: { conveyor: 'line', kind: 'chain-removed', pitches: 2 } });
    expect(finding!.moveMm).toBeCloseTo(-76.2 * (1 + wear(WORK_MS)), 1);
    // The last settled window before the stop, and the first after it.
    expect(finding!.fromMs).toBeLessThanOrEqual(WORK_MS - HOUR_MS / 2);
    expect(finding!.toMs).toBeGreaterThanOrEqual(WORK_MS + HOUR_MS / 2);
    expect(finding!.toMs).toBeLessThan(WORK_MS + HOUR_MS / 2 + 5 * MINUTE_MS);
  });

  it('and not written down raises an alarm an hour after the first window that shows it, and leaves the elongation provisional', () => {
    const { toMs } = unrecorded.findings[0]!;
    expect(unrecorded.alarms.filter(({ alarm }) => alarm === 'change-unrecorded')).toMatchObject([
      { change: 'raised', timeMs: toMs + HOUR_MS, limit: 4, unit: 'mm' },
    ]);
    expect(unrecorded.days.map(({ flag }) => flag)).toEqual(['value', ...Array.from({ length: 4 }, () => 'provisional')]);
  });

  test.each([5, 20, 24])('written down %d hours late clears the alarm, and puts every day right', (late) => {
    const step = unrecorded.findings[0]!;
    const lateMs = step.toMs + late * HOUR_MS;
    const explained = run(SITE, [...recording(shortened(2)), served(SITE, lateMs, { kind: 'chain-removed', pitches: 2 })]);
    expect(explained.alarms.filter(({ alarm }) => alarm === 'change-unrecorded')).toMatchObject([
      { change: 'raised' },
      { change: 'cleared', timeMs: lateMs },
    ]);
    expect(explained.days).toEqual(recorded.days);
  });

  test.each([-24, -20, -1])('written down %d hours early explains it all the same', (early) => {
    const step = unrecorded.findings[0]!;
    const explained = run(SITE, [
      ...recording(shortened(2)),
      served(SITE, step.fromMs + early * HOUR_MS, { kind: 'chain-removed', pitches: 2 }),
    ]);
    expect(concerning(explained)).toEqual([]);
    expect(explained.days.at(-1)).toEqual(recorded.days.at(-1));
    expect(explained.days[1]).toMatchObject({ pitches: 3198, flag: 'value' });
    expect(explained.days[0]!.elongationPct).toBeCloseTo(recorded.days[0]!.elongationPct, 9);
  });

  it('written down more than a day late does not explain it', () => {
    const { toMs } = unrecorded.findings[0]!;
    const tooLate = run(SITE, [
      ...recording(shortened(2)),
      served(SITE, toMs + 24 * HOUR_MS + MINUTE_MS, { kind: 'chain-removed', pitches: 2 }),
    ]);
    expect(concerning(tooLate)).toHaveLength(1);
  });

  it('written down wrong is put right by a correction, to the same figures', () => {
    const wrong = served(SITE, WORK_MS, { kind: 'chain-removed', pitches: 4, id: 'cut' });
    const correction = served(SITE, WORK_MS + DAY_MS, { kind: 'correction', replaces: 'cut', pitches: 2 });
    const corrected = run(SITE, [...recording(shortened(2)), wrong, correction]);
    expect(corrected.days).toEqual(recorded.days);
    // Until the correction the day had another figure, and it was given out.
    expect(corrected.outputs).toContainEqual(expect.objectContaining({ kind: 'settled-day', date: '2026-01-06', pitches: 3196 }));
  });

  it('and struck out again is unexplained as if never written', () => {
    const withdrawn = served(SITE, WORK_MS + 2 * HOUR_MS, { kind: 'correction', replaces: 'cut', withdraw: true });
    expect(run(SITE, [...recording(shortened(2)), entry, withdrawn]).days).toEqual(unrecorded.days);
  });

  it('that nobody gave the count of right is seen by the carriage', () => {
    const wrong = run(SITE, [...recording(shortened(2)), served(SITE, WORK_MS, { kind: 'chain-removed', pitches: 4 })]);
    const [finding] = wrong.findings.filter(({ moveMm }) => moveMm !== null);
    expect(finding?.text).toMatch(/entry says 4 pitches.*, the carriage 2/u);
  });
});

describe('a length put in', () => {
  it('makes the elongation the average over old and new chain', () => {
    const inserted = at((timeMs) => {
      const elongation = wear(timeMs);
      // Two new pitches among 3200 worn ones; what wears from then on is all of them.
      return timeMs < WORK_MS ? { pitches: 3200, elongation } : { pitches: 3202, elongation: elongation - (wear(WORK_MS) * 2) / 3202 };
    });
    const { days, alarms, findings } = run(SITE, [...recording(inserted), served(SITE, WORK_MS, { kind: 'chain-inserted', pitches: 2 })]);
    expect(alarms.filter(({ alarm }) => alarm === 'change-unrecorded')).toEqual([]);
    expect(findings.filter(({ moveMm }) => moveMm !== null)).toMatchObject([{ finding: 'chain-inserted' }]);
    const after = days[2]!;
    expect(after.pitches).toBe(3202);
    near(after, wornPct(after.date) - ((wear(WORK_MS) * 2) / 3202) * 100);
  });
});

describe('a chain that is replaced', () => {
  const fresh = at((timeMs) =>
    timeMs < WORK_MS ? { pitches: 3200, elongation: wear(timeMs) } : { pitches: 3196, elongation: wear(timeMs) - wear(WORK_MS) + 0.0012 },
  );
  const replaced = run(SITE, [
    ...recording(fresh),
    served(SITE, START_MS + 2 * HOUR_MS, { kind: 'note', text: 'a new chain is here' }),
    served(SITE, WORK_MS, { kind: 'chain-replaced', pitches: 3196 }),
  ]);

  it('begins at nothing with the first settled window after it, whatever the carriage reads', () => {
    const after = replaced.days.slice(2);
    for (const day of after) {
      expect(day.pitches).toBe(3196);
      // Worn since the first settled window after the work, seven minutes into running.
      near(day, wornPct(day.date) - wear(WORK_MS + HOUR_MS / 2 + 9 * MINUTE_MS) * 100);
    }
    expect(replaced.pipeline.ways[0]!.account.ledger.eraAt(END_MS)).toMatchObject({ removedPitches: 0, provisional: false });
    expect(concerning(replaced)).toEqual([]);
  });

  it('leaves the days before as they were', () => {
    near(replaced.days[0]!, wornPct('2026-01-05'));
    expect(replaced.days[0]!.pitches).toBe(3200);
  });
});

describe('a sensor that is re-zeroed', () => {
  const position = at((timeMs) => ({ pitches: 3200, elongation: wear(timeMs) }));
  const plain = run(SITE, recording(position));
  const shifted = (timeMs: number): Record<string, number> => ({
    ...running(timeMs),
    ...sides(position(timeMs)),
    'line/tu1/left/position': position(timeMs) + (timeMs < WORK_MS ? 0 : 30),
  });
  const inputs = readings(START_MS, END_MS, 60, shifted);
  const rezeroed = run(SITE, [
    ...inputs,
    served(SITE, WORK_MS, { kind: 'sensor-rezeroed', takeup: 'tu1', side: 'left', position_mm: position(WORK_MS) + 30 }),
  ]);

  it('leaves elongation and spring lengths as they were, and gives positions in the new scale', () => {
    rezeroed.days.forEach((day, i) => {
      const without = plain.days[i]!;
      expect(day.elongationPct).toBeCloseTo(without.elongationPct, 5);
      expect(day.springLeftMm).toBeCloseTo(without.springLeftMm, 2);
      expect(day.springRightMm).toBeCloseTo(without.springRightMm, 3);
      if (i !== 1) expect(day.positionMm).toBeCloseTo(without.positionMm + (i > 1 ? 15 : 0), 6);
    });
    expect(rezeroed.days.every(({ flag }) => flag === 'value')).toBe(true);
    expect(concerning(rezeroed)).toEqual([]);
  });
});

describe('a nut that is turned', () => {
  const elastic = { stiffnessN: 9e6, rateNPerMm: 18, freeMm: 320, sides: 2 };
  const model: ChainModel = { ...MODEL, elastic };
  const site = testSite({
    position: { period_s: 60 },
    conveyor: { signals: { running: { period_s: 60 } } },
    chain: { stiffness_kn: 9000 },
  });
  /** Six turns of a lead of 3 mm on each side: 18 mm off the springs. */
  const set = (timeMs: number): { positionMm: number; springMm: number } => ({ positionMm: 40, springMm: timeMs < WORK_MS ? 200 : 182 });
  const worn = (timeMs: number): number => wear(timeMs) / 2;
  const position = at((timeMs) => ({ pitches: 3200, elongation: worn(timeMs), set: set(timeMs) }), model);
  const turned = (turns: number): TestInput[] =>
    ['left', 'right'].map((name) => served(site, WORK_MS, { kind: 'nut-turned', takeup: 'tu1', side: name, turns }));
  const recorded = run(site, [...recording(position), ...turned(6)]);

  it('shortens the spring, raises the tension, and is no wear', () => {
    for (const day of recorded.days.filter(({ date }) => date !== '2026-01-06')) {
      const after = day.date > '2026-01-06';
      near(day, wornPct(day.date) / 2);
      expect(day.springLeftMm).toBeCloseTo((after ? 182 : 200) + day.positionMm - 40, 2);
      expect(day.strandTensionN).toBeCloseTo(tensionAt(model, day.positionMm, { positionMm: 40, springMm: after ? 182 : 200 }), 1);
      expect(day.elasticMm).toBeCloseTo(((day.strandTensionN - tensionAt(model, 40)) * 3200 * 76.2) / 9e6, 6);
    }
  });

  it('and not written down would be taken for wear', () => {
    const unrecorded = run(site, recording(position));
    const after = unrecorded.days.at(-1)!;
    // The chain is stretched by what the springs push more: that is all that is seen.
    expect(after.elongationPct).toBeGreaterThan(wornPct(after.date) / 2 + 0.001);
  });

  it('says the same by the spring length that was measured afterwards as by the turns', () => {
    const measuredMs = WORK_MS + 20 * MINUTE_MS;
    const length = set(measuredMs).springMm + position(measuredMs) - 40;
    const measured = ['left', 'right'].map((name) =>
      served(site, measuredMs, { kind: 'nut-turned', takeup: 'tu1', side: name, spring_mm: length }),
    );
    const { days } = run(site, [...recording(position), ...measured]);
    days.forEach((day, i) => {
      // The smoothed position lags a few readings behind: hundredths of a millimetre.
      expect(day.springLeftMm).toBeCloseTo(recorded.days[i]!.springLeftMm, 1);
      expect(day.elongationPct).toBeCloseTo(recorded.days[i]!.elongationPct, 4);
    });
  });
});

describe('heat', () => {
  const site = testSite({
    position: { period_s: 60 },
    chain: { expansion_per_c: 1.17e-5 },
    conveyor: {
      zones: [{ id: 'furnace', length_mm: 60_000, reference_c: 20, temperature: { period_s: 60 } }],
      ambient: { reference_c: 20, temperature: { period_s: 60 } },
    },
  });
  const model: ChainModel = { ...MODEL, expansion: 1.17e-5 };

  it('moves the carriage out and is no wear', () => {
    /** The furnace goes from 800 to 820 °C over a day and back; the hall by 5 °C with the hours. */
    const furnace = (timeMs: number): number => 810 + 10 * Math.sin((2 * Math.PI * (timeMs - START_MS)) / (2 * DAY_MS));
    const hall = (timeMs: number): number => 20 + 5 * Math.sin((2 * Math.PI * (timeMs - START_MS)) / DAY_MS);
    const rest = 3200 * 76.2 - 60_000;
    const heat = (timeMs: number): number => 60_000 * (furnace(timeMs) - 20) + rest * (hall(timeMs) - 20);
    // A chain worn so that the hot carriage stands where the cold reference had it.
    const cold = -300 / (3200 * 76.2);
    const inputs = readings(START_MS, START_MS + 2 * DAY_MS, 60, (timeMs) => ({
      'line/furnace/temperature': furnace(timeMs),
      'line/ambient/temperature': hall(timeMs),
      ...sides(carriageMm(model, { pitches: 3200, elongation: cold, heat: heat(timeMs) })),
    }));
    const warm = run(site, inputs);
    const positions = warm.days.map(({ positionMm }) => positionMm);
    expect(Math.max(...positions) - Math.min(...positions)).toBeGreaterThan(4);
    for (const day of warm.days) {
      expect(day.elongationPct).toBeCloseTo(cold * 100, 3);
      expect(day.thermalMm).toBeGreaterThan(500);
    }
    expect(warm.findings.filter(({ moveMm }) => moveMm !== null)).toEqual([]);
  });
});

describe('take-ups that share a chain', () => {
  const tu2 = {
    id: 'tu2',
    location: 'before the dip',
    wrap_deg: 90,
    sides: { left: side({ position: { period_s: 60 } }), right: side({ position: { period_s: 60 } }) },
  };
  const site = testSite({ position: { period_s: 60 }, conveyor: { signals: { running: { period_s: 60 } } }, others: [tu2] });
  const gains = [2, Math.SQRT2] as const;

  /** Both carriages, each taking the same share of the slack: Σ gᵢ·xᵢ closes the path. */
  function positions(state: ChainState): [number, number] {
    const reference = gains[0] * 40 + gains[1] * 40;
    const slack = state.pitches * 76.2 * (1 + state.elongation) - 3200 * 76.2 + reference;
    return [slack / (2 * gains[0]), slack / (2 * gains[1])];
  }

  const inputs = readings(START_MS, END_MS, 60, (timeMs) => {
    const [one, other] = positions({ pitches: timeMs < WORK_MS ? 3200 : 3198, elongation: wear(timeMs) });
    return { ...running(timeMs), ...sides(one), ...sides(other, 'tu2') };
  });

  it('all show the same elongation, and one entry explains the steps of all', () => {
    const shared = run(site, [...inputs, served(site, WORK_MS, { kind: 'chain-removed', pitches: 2 })]);
    expect(concerning(shared)).toEqual([]);
    const [one, other] = ['tu1', 'tu2'].map((takeup) => shared.days.filter((day) => day.takeup === takeup));
    one!.forEach((day, i) => {
      if (day.date !== '2026-01-06') near(day, wornPct(day.date));
      expect(other![i]!.elongationPct).toBeCloseTo(day.elongationPct, 4);
      expect(other![i]!.pitches).toBe(day.pitches);
    });
  });

  it('each raise an alarm where nobody wrote down what moved them, and one late entry clears both', () => {
    const late = run(site, [...inputs, served(site, WORK_MS + 10 * HOUR_MS, { kind: 'chain-removed', pitches: 2 })]);
    const raised = late.alarms.filter(({ alarm, change }) => alarm === 'change-unrecorded' && change === 'raised');
    const cleared = late.alarms.filter(({ alarm, change }) => alarm === 'change-unrecorded' && change === 'cleared');
    expect(raised.map(({ takeup }) => takeup).sort()).toEqual(['tu1', 'tu2']);
    expect(cleared.map(({ takeup }) => takeup).sort()).toEqual(['tu1', 'tu2']);
  });
});

describe('the order of entries', () => {
  const inputs = recording(shortened(2));
  const entries = [
    served(SITE, WORK_MS - 3 * HOUR_MS, { kind: 'lubricated', id: 'a' }),
    served(SITE, WORK_MS - HOUR_MS / 2, { kind: 'service-opened', id: 'b' }),
    served(SITE, WORK_MS, { kind: 'chain-removed', pitches: 6, id: 'c' }),
    served(SITE, WORK_MS + HOUR_MS / 2, { kind: 'service-closed', id: 'd' }),
    served(SITE, WORK_MS + HOUR_MS, { kind: 'correction', replaces: 'c', pitches: 4, id: 'e' }),
    served(SITE, WORK_MS + 2 * HOUR_MS, { kind: 'correction', replaces: 'e', pitches: 2, id: 'f' }),
    served(SITE, WORK_MS + 3 * HOUR_MS, { kind: 'correction', replaces: 'a', withdraw: true, id: 'g' }),
    served(SITE, WORK_MS + 4 * HOUR_MS, { kind: 'nut-turned', takeup: 'tu1', side: 'left', turns: 1, id: 'h' }),
  ];

  /** All entries handed in at the end of the recording, in some order: live, a night's entries may come in any. */
  function enteredAtLast(order: readonly TestInput[]): { figures: unknown; days: readonly SettledDayOutput[] } {
    const at = END_MS;
    const { pipeline, days } = run(SITE, [...inputs, ...order.map((input) => ({ ...input, timeMs: at }))]);
    return { figures: settledFigures(pipeline.ways[0]!, 0), days };
  }

  it('does not matter: every figure follows from what they say, not from when they came', () => {
    const straight = enteredAtLast(entries);
    expect(straight.days.at(-1)).toMatchObject({ pitches: 3198, flag: 'value' });
    fc.assert(
      fc.property(fc.shuffledSubarray(entries, { minLength: entries.length }), (order) => {
        expect(enteredAtLast(order)).toEqual(straight);
      }),
      { numRuns: 10 },
    );
  });
});
