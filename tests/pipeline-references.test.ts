import { describe, expect, it } from 'vitest';
import { carriageMm, tensionAt, type ChainModel, type ChainState } from './flow/way/chain-model.js';
import { HOUR_MS, MINUTE_MS, readings, run, served, sides, type TestInput } from './flow/way/run.js';
import { side, START_MS, testSite } from './flow/way/test-site.js';
import {
  at,
  DAY_MS,
  END_MS,
  expectWorn,
  MODEL,
  recording,
  running,
  SITE,
  unrecordedTold,
  wear,
  WORK_MS,
  wornPct,
} from './flow/way/worn-chain.js';

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
    expectWorn(after, wornPct(after.date) - ((wear(WORK_MS) * 2) / 3202) * 100);
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
      expectWorn(day, wornPct(day.date) - wear(WORK_MS + HOUR_MS / 2 + 9 * MINUTE_MS) * 100);
    }
    expect(replaced.pipeline.ways[0]!.account.ledger.eraAt(END_MS)).toMatchObject({ removedPitches: 0, provisional: false });
    expect(unrecordedTold(replaced)).toEqual([]);
  });

  it('leaves the days before as they were', () => {
    expectWorn(replaced.days[0]!, wornPct('2026-01-05'));
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
    expect(unrecordedTold(rezeroed)).toEqual([]);
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
      expectWorn(day, wornPct(day.date) / 2);
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
    expect(unrecordedTold(shared)).toEqual([]);
    const [one, other] = ['tu1', 'tu2'].map((takeup) => shared.days.filter((day) => day.takeup === takeup));
    one!.forEach((day, i) => {
      if (day.date !== '2026-01-06') expectWorn(day, wornPct(day.date));
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

  it('all begin at nothing with a chain that is replaced, wherever both carriages stand with it', () => {
    const fresh = readings(START_MS, END_MS, 60, (timeMs) => {
      const state = { pitches: 3200, elongation: timeMs < WORK_MS ? wear(timeMs) : wear(timeMs) - wear(WORK_MS) + 0.0001 };
      const [one, other] = positions(state);
      return { ...running(timeMs), ...sides(one), ...sides(other, 'tu2') };
    });
    const replaced = run(site, [...fresh, served(site, WORK_MS, { kind: 'chain-replaced', pitches: 3200 })]);
    const after = replaced.days.filter(({ date }) => date > '2026-01-06');
    expect(after).toHaveLength(6);
    for (const day of after)
      expect(Math.abs(day.elongationPct - (wornPct(day.date) - wear(WORK_MS + HOUR_MS / 2 + 9 * MINUTE_MS) * 100))).toBeLessThan(0.0001);
  });

  it('say nothing of the elongation while one of them still shows where it stood before the stop', () => {
    const { pipeline } = run(site, [...inputs, served(site, WORK_MS, { kind: 'chain-removed', pitches: 2 })]);
    const { ledger, histories } = pipeline.ways[0]!.account;
    for (const [index, history] of histories.entries()) {
      const known = history.all
        .filter(({ toMs }) => toMs > WORK_MS)
        .map((window) => [window, ledger.figures(index, window).elongation] as const);
      expect(known.filter(([, elongation]) => Number.isNaN(elongation)).length).toBeLessThanOrEqual(1);
      for (const [{ fromMs, toMs }, elongation] of known) {
        // 0.1 mm of chain: what it wears in the quarter of an hour between their windows is less.
        if (!Number.isNaN(elongation)) expect(Math.abs(elongation - wear((fromMs + toMs) / 2)) * 3200 * 76.2).toBeLessThan(0.1);
      }
    }
  });
});
