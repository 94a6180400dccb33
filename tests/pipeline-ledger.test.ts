import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import type { SettledDayOutput } from '../agent/flow/output.js';
import { settledFigures } from '../agent/flow/way/takeup-figures.js';
import { SET } from './flow/way/chain-model.js';
import { HOUR_MS, MINUTE_MS, run, served, type TestInput } from './flow/way/run.js';
import {
  at,
  DAY_MS,
  END_MS,
  expectWorn,
  recording,
  shortened,
  SITE,
  unrecordedTold,
  wear,
  WORK_MS,
  wornPct,
} from './flow/way/worn-chain.js';

describe('a chain that wears', () => {
  const worn = run(SITE, recording(at((timeMs) => ({ pitches: 3200, elongation: wear(timeMs) }))));

  it('shows its elongation day by day, by the joint too', () => {
    expect(worn.days.map(({ date }) => date)).toEqual(['2026-01-05', '2026-01-06', '2026-01-07', '2026-01-08', '2026-01-09']);
    for (const day of worn.days) {
      expectWorn(day, wornPct(day.date));
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
    expect(unrecordedTold(worn)).toEqual([]);
    expect(worn.findings.filter(({ moveMm }) => moveMm !== null)).toEqual([]);
  });
});

describe('a length taken out', () => {
  const entry = served(SITE, WORK_MS, { kind: 'chain-removed', pitches: 2, id: 'cut' });
  const recorded = run(SITE, [...recording(shortened(2)), entry]);

  it('draws the carriage in by half of it, worn as it is, and leaves the elongation as it was', () => {
    const [before, , after] = recorded.days;
    expectWorn(before!, wornPct(before!.date));
    expectWorn(after!, wornPct(after!.date));
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
    expect(unrecordedTold(recorded)).toEqual([]);
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
    expect(unrecordedTold(explained)).toEqual([]);
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
    expect(unrecordedTold(tooLate)).toHaveLength(1);
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
