import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { ServiceEntry } from '../../agent/contract/service-entry.js';
import { defaultScenario } from '../../agent/simulate/default-scenario.js';
import { createPlant, type PlantSaved, type PlantSettings } from '../../agent/simulate/plant.js';
import type { PlantScenario } from '../../agent/simulate/scenario.js';
import { NEVER, workOn } from '../../agent/simulate/work.js';
import { HOUR_MS, MINUTE_MS, of, passTo, quietPlant, readingsTo, siteWith, START_MS, type Reading } from './quiet-plant.js';

const BEGIN_MS = START_MS + 5 * HOUR_MS;
const END_MS = BEGIN_MS + 4 * HOUR_MS;

const site = siteWith({
  chain: { stiffness_kn: 20_000 },
  conveyor: {
    signals: { running: {}, speed: {} },
    zones: [{ id: 'oven', length_mm: 60_000, reference_c: 150, temperature: {}, lag_s: 120 }],
    ambient: { reference_c: 20, temperature: {} },
  },
  takeups: [{ own_spring: true }, { wrap_deg: 120 }],
});

/** A lively plant: stops, work, troubles, and readings that are lost, doubled and late. */
function lively(): PlantScenario {
  const base = defaultScenario(site);
  const at = (minutes: number) => BEGIN_MS + minutes * MINUTE_MS;
  const on = { takeup: 'tu1', side: 'left' } as const;
  return {
    transport: { lostShare: 0.02, doubledShare: 0.02, lateShare: 0.05, lateS: 30 },
    conveyors: {
      c: {
        ...base.conveyors['c']!,
        shifts: { ...base.conveyors['c']!.shifts, stopsPerHour: 4 },
        works: [
          workOn('c', at(70), { kind: 'chain-removed', pitches: 2 }, { how: 'wrongly', pitches: 4, correctedAfterMs: 20 * MINUTE_MS }),
          workOn('c', at(130), { kind: 'nut-turned', ...on, turns: 2 }, { how: 'late', byMs: 7 * MINUTE_MS }),
          workOn('c', at(131), { kind: 'sensor-rezeroed', ...on, positionMm: 250 }),
        ],
        troubles: [
          { kind: 'guide-seized', takeup: 'tu2', fromMs: at(20), toMs: at(200), slipsAtMm: 2, breathingShare: 0.1 },
          { kind: 'spring-relaxing', ...on, fromMs: at(10), toMs: at(400), mmPerDay: 3 },
          { kind: 'zone-overheats', zone: 'oven', fromMs: at(150), toMs: at(190), cPerMin: 2, mostC: 30 },
          { kind: 'chain-caught', fromMs: at(30), toMs: at(50), chainMmPerMin: 2, mostChainMm: 30 },
          { kind: 'sensor-flat', signal: 'c/tu1/right/position', fromMs: at(90), toMs: at(120) },
          { kind: 'sensor-drift', signal: 'c/tu2/left/position', fromMs: at(5), toMs: at(300), perDay: 9 },
        ],
      },
    },
  };
}

const SETTINGS: PlantSettings = { seed: 3, startMs: BEGIN_MS, readingPeriodS: 20 };

interface Told {
  readonly readings: readonly Reading[];
  readonly entries: readonly ServiceEntry[];
  readonly order: readonly string[];
}

/** All that a plant tells when it is moved on to each of these instants, saved and taken up again in between where asked. */
function toldBy(instants: readonly number[], resume: boolean, settings = SETTINGS): Told {
  const told = { readings: [] as Reading[], entries: [] as ServiceEntry[], order: [] as string[] };
  let plant = createPlant(site, lively(), settings);
  for (const instant of instants) {
    plant.advanceTo(
      instant,
      (timeMs, signal, raw) => {
        told.readings.push({ timeMs, signal, raw });
        told.order.push(`${signal} ${String(timeMs)}`);
      },
      (entry) => {
        told.entries.push(entry);
        told.order.push(`${entry.kind} ${String(entry.timeMs)}`);
      },
    );
    if (resume) plant = createPlant(site, lively(), { ...settings, saved: JSON.parse(JSON.stringify(plant.save())) as PlantSaved });
  }
  return told;
}

const whole = toldBy([END_MS], false);
const cuts = fc
  .array(fc.integer({ min: BEGIN_MS, max: END_MS - 1 }), { maxLength: 12 })
  .map((instants) => [...instants.sort((a, b) => a - b), END_MS]);

describe('a simulated plant', () => {
  it('tells the same for the same seed, and another for another', () => {
    expect(toldBy([END_MS], false)).toEqual(whole);
    expect(toldBy([END_MS], false, { ...SETTINGS, seed: 4 }).readings).not.toEqual(whole.readings);
  });

  it('tells the same however the stretch of time is cut', () => {
    fc.assert(
      fc.property(cuts, (instants) => {
        expect(toldBy(instants, false)).toEqual(whole);
      }),
      { numRuns: 12 },
    );
  });

  it('tells the same when it is saved as JSON and taken up again at any time', () => {
    fc.assert(
      fc.property(cuts, (instants) => {
        expect(toldBy(instants, true)).toEqual(whole);
      }),
      { numRuns: 12 },
    );
  });

  it('is the same plant however often it is read, and goes on where it was with another period', () => {
    const truthAfter = (periods: readonly number[]): unknown => {
      let saved: PlantSaved | undefined;
      let truth: unknown;
      periods.forEach((readingPeriodS, index) => {
        const plant = createPlant(site, lively(), { seed: 3, startMs: BEGIN_MS, readingPeriodS, ...(saved ? { saved } : {}) });
        passTo(plant, BEGIN_MS + ((index + 1) * 4 * HOUR_MS) / periods.length);
        saved = plant.save();
        truth = plant.truth().now;
      });
      return truth;
    };
    expect(truthAfter([1, 60])).toEqual(truthAfter([300]));
  });

  it('cannot go back', () => {
    const plant = createPlant(site, lively(), SETTINGS);
    passTo(plant, END_MS);
    expect(() => {
      passTo(plant, BEGIN_MS);
    }).toThrow(RangeError);
  });
});

describe('the order of what a plant tells', () => {
  it('is that of time where nothing is late', () => {
    const plant = quietPlant(siteWith({ takeups: [{}, {}] }));
    const times = readingsTo(plant, START_MS + HOUR_MS).map(({ timeMs }) => timeMs);
    expect(times).toEqual([...times].sort((a, b) => a - b));
    expect(times[0]).toBeGreaterThanOrEqual(START_MS);
  });

  it('is out by no more than what the scenario says where readings are late', () => {
    let newest = 0;
    let late = 0;
    for (const { timeMs } of whole.readings) {
      if (timeMs < newest) late = Math.max(late, newest - timeMs);
      newest = Math.max(newest, timeMs);
    }
    expect(late).toBeGreaterThan(0);
    expect(late).toBeLessThanOrEqual(30_000);
  });

  it('has every entry before the readings that come in after its time', () => {
    const removal = whole.order.findIndex((line) => line.startsWith('chain-removed'));
    const at = whole.entries[0]!.timeMs;
    expect(whole.order.slice(0, removal).every((line) => Number(line.split(' ')[1]) < at + 30_000)).toBe(true);
    expect(removal).toBeGreaterThan(0);
  });
});

describe('what is written down of work', () => {
  it('is wrong or late where the scenario says so, and corrected', () => {
    const at = (minutes: number) => BEGIN_MS + minutes * MINUTE_MS;
    expect(whole.entries).toEqual([
      { kind: 'chain-removed', conveyor: 'c', timeMs: at(70), pitches: 4, id: expect.any(String) as string },
      { kind: 'correction', conveyor: 'c', timeMs: at(90), replaces: whole.entries[0]!.id, changes: { pitches: 2 } },
      { kind: 'sensor-rezeroed', conveyor: 'c', timeMs: at(131), takeup: 'tu1', side: 'left', positionMm: 250 },
      { kind: 'nut-turned', conveyor: 'c', timeMs: at(137), takeup: 'tu1', side: 'left', turns: 2 },
    ]);
  });

  it('is nothing where nobody writes, while the truth knows', () => {
    const plant = quietPlant(siteWith(), { works: [workOn('c', START_MS + HOUR_MS, { kind: 'chain-removed', pitches: 2 }, NEVER)] });
    const entries: ServiceEntry[] = [];
    plant.advanceTo(
      START_MS + 2 * HOUR_MS,
      () => undefined,
      (entry) => entries.push(entry),
    );
    expect(entries).toEqual([]);
    expect(plant.truth().steps).toMatchObject([{ kind: 'chain-removed', pitches: 2, recorded: 'never' }]);
  });
});

describe('when a plant runs', () => {
  it('is told at the second in which it changes, and again now and then', () => {
    const shifts = { week: Array.from({ length: 7 }, () => [[360, 1320]] as const) };
    const plant = quietPlant(siteWith(), { shifts });
    const states = of(readingsTo(plant, START_MS + 23 * HOUR_MS), 'running');
    expect(states.find(({ raw }) => raw === 1)).toMatchObject({ timeMs: START_MS + 6 * HOUR_MS });
    expect(states.findLast(({ raw }) => raw === 1)!.timeMs).toBeLessThan(START_MS + 22 * HOUR_MS);
    expect(states.some(({ timeMs, raw }) => raw === 0 && timeMs === START_MS + 22 * HOUR_MS)).toBe(true);
    const gaps = states.slice(1).map(({ timeMs }, index) => timeMs - states[index]!.timeMs);
    expect(Math.max(...gaps)).toBeLessThan(15_000);
  });

  it('breathes while it runs, and holds still while it stands', () => {
    const over = {
      breathing: { waves: [{ mm: 2, per: { chainMm: 3000 } }], relaxChainMm: 0, relaxS: 60 },
      shifts: { week: Array.from({ length: 7 }, () => [[60, 120]] as const) },
    };
    const readings = of(readingsTo(quietPlant(siteWith(), over), START_MS + 3 * HOUR_MS), 'left/position');
    const range = (fromHour: number, toHour: number): number => {
      const raws = readings
        .filter(({ timeMs }) => timeMs > START_MS + fromHour * HOUR_MS && timeMs < START_MS + toHour * HOUR_MS)
        .map(({ raw }) => raw);
      return Math.max(...raws) - Math.min(...raws);
    };
    expect(range(0, 1)).toBe(0);
    expect(range(1, 2)).toBeCloseTo(4, 1);
    expect(range(2, 3)).toBe(0);
  });

  it('a chain that stands grows a little longer, and is back soon after it runs again', () => {
    const over = {
      breathing: { relaxChainMm: 4, relaxS: 1200 },
      shifts: { week: Array.from({ length: 7 }, () => [[120, 1440]] as const) },
    };
    const plant = quietPlant(siteWith(), over);
    passTo(plant, START_MS + 2 * HOUR_MS);
    expect(plant.truth().now[0]!.positionMm).toBeCloseTo(302, 1);
    passTo(plant, START_MS + 3 * HOUR_MS);
    expect(plant.truth().now[0]!.positionMm).toBeCloseTo(300, 3);
  });

  it('stands for work on the chain, whatever the shift', () => {
    const plant = quietPlant(siteWith(), { works: [workOn('c', START_MS + 2 * HOUR_MS, { kind: 'chain-removed', pitches: 2 })] });
    const states = of(readingsTo(plant, START_MS + 4 * HOUR_MS), 'running');
    const atWork = states.filter(({ timeMs }) => Math.abs(timeMs - START_MS - 2 * HOUR_MS) < 20 * MINUTE_MS);
    expect(new Set(atWork.map(({ raw }) => raw))).toEqual(new Set([0]));
    expect(states.at(-1)!.raw).toBe(1);
  });
});
