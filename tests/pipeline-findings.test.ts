import { describe, expect, it } from 'vitest';
import type { FindingOutput } from '../agent/flow/output.js';
import type { Site } from '../agent/site/site.js';
import { carriageMm, type ChainModel } from './flow/way/chain-model.js';
import { HOUR_MS, MINUTE_MS, readings, run, served, sides, type Run, type TestInput } from './flow/way/run.js';
import { side, START_MS, testSite } from './flow/way/test-site.js';
import { seededNoise } from './flow/trend/seeded-noise.js';

const DAY_MS = 24 * HOUR_MS;
const MODEL: ChainModel = { pitchMm: 76.2, gain: 2, reference: { pitches: 3200, elongation: 0, positionMm: 40 } };

/** A site read once in so many seconds, with a running signal. */
const siteEvery = (periodS: number): Site =>
  testSite({ position: { period_s: periodS }, conveyor: { signals: { running: { period_s: periodS } } } });

interface Plant {
  readonly days: number;
  readonly everyS: number;
  /** Both sides, noise and breathing not counted. */
  readonly position: (timeMs: number) => number | readonly [left: number, right: number];
  readonly breathingMm?: (timeMs: number) => number;
  readonly running?: (timeMs: number) => boolean;
}

/** Readings of a plant with noise of 0.05 mm and a breath that is no multiple of the readings. */
function plant({ days, everyS, position, breathingMm = () => 1.5, running = () => true }: Plant): TestInput[] {
  const noise = seededNoise(21);
  return readings(START_MS, START_MS + days * DAY_MS, everyS, (timeMs) => {
    const mm = position(timeMs);
    const [left, right] = typeof mm === 'number' ? [mm, mm] : mm;
    const breath = running(timeMs) ? breathingMm(timeMs) * Math.sin(timeMs / (everyS * 290)) : 0;
    const reads = (one: number): number => Math.round((one + breath + 0.05 * noise.normal()) * 100) / 100;
    return { 'line/running': running(timeMs) ? 1 : 0, 'line/tu1/left/position': reads(left), 'line/tu1/right/position': reads(right) };
  });
}

const wear =
  (mmADay: number) =>
  (timeMs: number): number =>
    60 + (mmADay * (timeMs - START_MS)) / DAY_MS;
const keys = ({ findings }: Run): string[] => findings.map(({ finding }) => finding);
const only = (found: Run): FindingOutput => {
  expect(keys(found)).toHaveLength(1);
  return found.findings[0]!;
};

describe('a plant that is well', () => {
  it('has nothing found of it in three weeks, its nights and weekends standing', () => {
    const working = (timeMs: number): boolean => {
      const date = new Date(timeMs);
      return date.getUTCDay() % 6 !== 0 && date.getUTCHours() >= 5 && date.getUTCHours() < 21;
    };
    const well = run(siteEvery(60), plant({ days: 21, everyS: 60, position: wear(0.3), running: working }));
    expect(well.findings).toEqual([]);
    expect(well.alarms).toEqual([]);
  });
});

describe('a move while running', () => {
  const at = START_MS + 6 * HOUR_MS;

  it('inwards that stays is chain that is caught, told by an alarm at the end of its minute', () => {
    const caught = run(siteEvery(10), plant({ days: 0.5, everyS: 10, position: (timeMs) => (timeMs < at ? 90 : 70) }));
    expect(only(caught)).toMatchObject({ finding: 'chain-caught', takeup: 'tu1' });
    expect(only(caught).moveMm).toBeCloseTo(-20, 0);
    expect(caught.alarms.find(({ alarm }) => alarm === 'carriage-jump')).toMatchObject({ change: 'raised', limit: 8, unit: 'mm' });
    const { timeMs } = caught.alarms.find(({ alarm }) => alarm === 'carriage-jump')!;
    expect(Math.abs(timeMs - (at + MINUTE_MS))).toBeLessThanOrEqual(10_000);
  });

  it('outwards that stays is chain that gave way', () => {
    const slack = run(siteEvery(10), plant({ days: 0.5, everyS: 10, position: (timeMs) => (timeMs < at ? 90 : 120) }));
    expect(only(slack)).toMatchObject({ finding: 'chain-slack' });
  });

  it('is no alarm while a service is open on the take-up', () => {
    const site = siteEvery(10);
    const inputs = plant({ days: 0.5, everyS: 10, position: (timeMs) => (timeMs < at ? 90 : 70) });
    const resting = run(site, [...inputs, served(site, at - HOUR_MS, { kind: 'service-opened', takeup: 'tu1' })]);
    expect(resting.alarms.filter(({ change }) => change === 'raised')).toEqual([]);
  });
});

describe('a carriage that moves no more', () => {
  it('is stuck after a day of running, not before, and not where it stands', () => {
    const stuckMs = START_MS + 8 * DAY_MS;
    const working = (timeMs: number): boolean => new Date(timeMs).getUTCHours() < 20;
    const stuck = run(
      siteEvery(10),
      plant({ days: 10, everyS: 10, position: wear(0), breathingMm: (timeMs) => (timeMs < stuckMs ? 2 : 0), running: working }),
    );
    const alarm = stuck.alarms.find(({ alarm: key }) => key === 'carriage-stuck');
    expect(alarm).toMatchObject({ change: 'raised', limit: 0.2, unit: 'ratio' });
    // 24 h of running at 20 h a day: into the second day.
    const ranH = (alarm!.timeMs - stuckMs) / HOUR_MS;
    expect(ranH).toBeGreaterThanOrEqual(24);
    expect(ranH).toBeLessThan(30);
    expect(keys(stuck)).toContain('carriage-stuck');
  });
});

describe('a sensor', () => {
  it('that reads the same to the last digit while the other side moves is doubted after an hour of running', () => {
    const flatMs = START_MS + 2 * DAY_MS;
    const inputs = plant({ days: 3, everyS: 60, position: wear(0) }).map((input): TestInput =>
      input.kind === 'reading' && input.signal === 'line/tu1/left/position' && input.timeMs >= flatMs ? { ...input, raw: 60.25 } : input,
    );
    const flat = run(siteEvery(60), inputs);
    const alarm = flat.alarms.find(({ alarm: key }) => key === 'signal-doubtful');
    expect(alarm).toMatchObject({ change: 'raised', side: 'left', signal: 'line/tu1/left/position', priority: 'low' });
    expect(alarm!.timeMs - flatMs).toBeGreaterThanOrEqual(HOUR_MS - 20 * MINUTE_MS);
    expect(alarm!.timeMs - flatMs).toBeLessThan(2 * HOUR_MS);
    expect(keys(flat)).toEqual(['sensor-doubtful']);
  });
});

describe('one side that lags more and more', () => {
  it('is growing skew', () => {
    const lagging = (timeMs: number): readonly [number, number] => {
      const apart = Math.max(0, (timeMs - START_MS) / DAY_MS - 10) * 0.8;
      return [60 + apart / 2, 60 - apart / 2];
    };
    const skew = run(siteEvery(300), plant({ days: 24, everyS: 300, position: lagging }));
    expect(keys(skew)).toEqual(['skew-growing']);
    expect(skew.findings[0]!.text).toContain('left side runs ahead');
  });
});

describe('a nut that is turned', () => {
  it('is seen where the spring has a sensor of its own, and suggests the entry', () => {
    const site = testSite({
      position: { period_s: 60 },
      takeup: {
        sides: { left: side({ position: { period_s: 60 }, spring: { period_s: 60 } }), right: side({ position: { period_s: 60 } }) },
      },
    });
    const turnedMs = START_MS + 12 * HOUR_MS;
    const noise = seededNoise(22);
    const inputs = readings(START_MS, START_MS + DAY_MS, 60, (timeMs) => {
      const mm = 60 + Math.sin(timeMs / 17_000);
      return {
        ...sides(mm + 0.03 * noise.normal()),
        'line/tu1/left/spring': 160 + mm - (timeMs < turnedMs ? 0 : 6) + 0.03 * noise.normal(),
      };
    });
    const found = run(site, inputs).findings.filter(({ finding }) => finding === 'nut-turned');
    expect(found).toMatchObject([{ suggestion: { kind: 'nut-turned', takeup: 'tu1', side: 'left' } }]);
    expect(found[0]!.text).toMatch(/6\.0 mm shorter.*2\.0 turns/u);
    const told = run(site, [...inputs, served(site, turnedMs, { kind: 'nut-turned', takeup: 'tu1', side: 'left', turns: 2 })]);
    const explained = told.findings.filter(({ finding }) => finding === 'nut-turned');
    expect(explained).toMatchObject([{ text: expect.stringContaining('accounted for') as string }]);
    expect(explained[0]).not.toHaveProperty('suggestion');
  });
});

describe('wear that runs away', () => {
  it('is told when the last weeks are well above the months before', () => {
    const turnMs = START_MS + 100 * DAY_MS;
    const elongation = (timeMs: number): number =>
      0.0003 + (1.5e-6 * (Math.min(timeMs, turnMs) - START_MS)) / DAY_MS + (6e-6 * Math.max(0, timeMs - turnMs)) / DAY_MS;
    const position = (timeMs: number): number => carriageMm(MODEL, { pitches: 3200, elongation: elongation(timeMs) });
    const fast = run(siteEvery(600), plant({ days: 132, everyS: 600, position }));
    const alarm = fast.alarms.find(({ alarm: key }) => key === 'wear-fast');
    expect(alarm).toMatchObject({ change: 'raised', limit: 1.5, unit: 'ratio', priority: 'low' });
    expect(alarm!.timeMs).toBeGreaterThan(turnMs);
    expect(keys(fast)).toContain('wear-fast');
    const steady = run(
      siteEvery(600),
      plant({
        days: 132,
        everyS: 600,
        position: (timeMs) => carriageMm(MODEL, { pitches: 3200, elongation: 0.0003 + (3e-6 * (timeMs - START_MS)) / DAY_MS }),
      }),
    );
    expect(steady.alarms.filter(({ alarm: key }) => key === 'wear-fast')).toEqual([]);
  });
});
