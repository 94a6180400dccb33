import { describe, expect, it } from 'vitest';
import type { PlantTrouble } from '../../agent/simulate/trouble.js';
import { workOn } from '../../agent/simulate/work.js';
import { HOUR_MS, MINUTE_MS, of, passTo, positionOf, quietPlant, readingsTo, siteWith, START_MS } from './quiet-plant.js';

const FROM_MS = START_MS + HOUR_MS;
const TO_MS = START_MS + 3 * HOUR_MS;
const LEFT = 'c/tu1/left/position';
const lasts = { fromMs: FROM_MS, toMs: TO_MS };

function struckBy(trouble: PlantTrouble, over: Parameters<typeof quietPlant>[1] = {}, site = siteWith()) {
  return quietPlant(site, { ...over, troubles: [trouble] });
}

describe('trouble with the chain', () => {
  it('caught, it pulls the carriage in more and more while it runs, and lets it go when it is freed', () => {
    const plant = struckBy({ kind: 'chain-caught', ...lasts, chainMmPerMin: 1, mostChainMm: 80 });
    passTo(plant, FROM_MS + 30 * MINUTE_MS);
    expect(positionOf(plant)).toBeCloseTo(285, 6);
    passTo(plant, TO_MS - MINUTE_MS);
    expect(positionOf(plant)).toBeCloseTo(260, 6);
    passTo(plant, TO_MS);
    expect(positionOf(plant)).toBeCloseTo(300, 6);
  });

  it('parted, it lets the carriage go to the outer stop within seconds, and the drive trips', () => {
    const plant = struckBy({ kind: 'chain-parted', ...lasts, withinS: 4, tripsAfterS: 10 });
    const readings = readingsTo(plant, TO_MS - 1);
    const at = (seconds: number) => of(readings, LEFT).find(({ timeMs }) => timeMs >= FROM_MS + 1000 * seconds)!.raw;
    expect(at(-3)).toBeCloseTo(300, 6);
    expect(at(2)).toBeGreaterThan(450);
    expect(at(5)).toBeCloseTo(800, 6);
    expect(of(readings, 'running').find(({ raw }) => raw === 0)).toMatchObject({ timeMs: FROM_MS + 10_000 });
    passTo(plant, TO_MS + MINUTE_MS);
    expect(plant.truth().now[0]).toMatchObject({ running: true, positionMm: 300 });
  });

  it('come free, it lets the carriage out by half of what came free', () => {
    const plant = struckBy({ kind: 'chain-slack', ...lasts, chainMm: 60, withinS: 5 });
    passTo(plant, FROM_MS + 6000);
    expect(positionOf(plant)).toBeCloseTo(330, 6);
  });

  it('wearing fast, it wears so many times as fast, and no longer than the trouble lasts', () => {
    const plant = struckBy({ kind: 'wear-fast', ...lasts, times: 4 }, { wear: { pctPer1000Hours: 1 } });
    passTo(plant, START_MS + 4 * HOUR_MS);
    expect(plant.truth().now[0]!.elongationPct).toBeCloseTo(1 + (1 + 2 * 4 + 1) / 1000, 9);
  });

  it('in a zone that overheats, it grows with it and shrinks again', () => {
    const site = siteWith({ conveyor: { zones: [{ id: 'oven', length_mm: 100_000, reference_c: 150, temperature: {} }] } });
    const heat = { oven: { workC: 150, heatUpS: 60, coolDownS: 60, startBeforeS: 0, spreadC: 0 } };
    const plant = struckBy({ kind: 'zone-overheats', ...lasts, zone: 'oven', cPerMin: 2, mostC: 40 }, { heat }, site);
    const readings = of(readingsTo(plant, FROM_MS + 10 * MINUTE_MS), 'oven/temperature');
    expect(readings.at(-1)!.raw).toBeCloseTo(170, 0);
    expect(positionOf(plant)).toBeCloseTo(300 + (100_000 * 20 * 1.17e-5) / 2, 3);
    passTo(plant, FROM_MS + HOUR_MS);
    expect(positionOf(plant)).toBeCloseTo(300 + (100_000 * 40 * 1.17e-5) / 2, 3);
    passTo(plant, TO_MS + HOUR_MS);
    expect(positionOf(plant)).toBeCloseTo(300, 6);
  });
});

describe('trouble with the carriage', () => {
  const heatingUp = {
    climate: { meanC: 20 },
    heat: { oven: { workC: 220, heatUpS: 3600, coolDownS: 3600, startBeforeS: 0, spreadC: 0 } },
    shifts: { week: Array.from({ length: 7 }, () => [[60, 1440]] as const) },
    breathing: { waves: [{ mm: 2, per: { chainMm: 3000 } }] },
  };
  const hot = siteWith({ conveyor: { zones: [{ id: 'oven', length_mm: 100_000, reference_c: 20, temperature: {} }] } });

  it('seized, it neither breathes nor follows the heat, gives way by jerks, and is free again', () => {
    const seized = { kind: 'guide-seized', takeup: 'tu1', ...lasts, slipsAtMm: 40, breathingShare: 0 } as const;
    const plant = struckBy(seized, heatingUp, hot);
    const places = of(readingsTo(plant, TO_MS - 1), LEFT).filter(({ timeMs }) => timeMs >= FROM_MS);
    const different = [...new Set(places.map(({ raw }) => raw))];
    // The heat asks for more than 40 mm of travel once in these two hours, and the carriage stands at one place before and one after.
    expect(different).toHaveLength(3);
    expect(different[0]).toBeCloseTo(300, 1);
    passTo(plant, TO_MS);
    const free = quietPlant(hot, heatingUp);
    passTo(free, TO_MS);
    expect(positionOf(plant)).toBeCloseTo(positionOf(free), 6);
  });

  it('dragging on one side, it grows askew while it runs, up to a limit', () => {
    const plant = struckBy({ kind: 'guide-dragging', takeup: 'tu1', side: 'left', ...lasts, mmPerDay: 96, mostMm: 6 });
    const readings = readingsTo(plant, FROM_MS + HOUR_MS);
    expect(plant.truth().now[0]!.skewMm).toBeCloseTo(-4, 1);
    expect(of(readings, LEFT).at(-1)!.raw).toBeCloseTo(298, 1);
    expect(of(readings, 'tu1/right/position').at(-1)!.raw).toBeCloseTo(302, 1);
    passTo(plant, TO_MS - 1);
    expect(plant.truth().now[0]!.skewMm).toBeCloseTo(-6, 6);
  });

  it('with a tired spring, it loses tension; with a broken one, half of that side, until it is replaced', () => {
    const tired = struckBy({ kind: 'spring-relaxing', takeup: 'tu1', side: 'left', ...lasts, mmPerDay: 24 });
    passTo(tired, TO_MS - 1);
    expect(tired.truth().now[0]!.strandTensionN).toBeCloseTo((10 * 498 + 10 * 500) / 2, 1);

    const broken = { kind: 'spring-broken', takeup: 'tu1', side: 'right', ...lasts, shareLeft: 0.5 } as const;
    const spring = { freeMm: 1000, rateNPerMm: 10, solidMm: 100, clearanceMm: 20, perSide: 1 };
    const works = [workOn('c', TO_MS - HOUR_MS, { kind: 'spring-replaced', takeup: 'tu1', side: 'right', spring, springMm: 500 })];
    const plant = struckBy(broken, { works });
    passTo(plant, TO_MS - HOUR_MS - 1);
    expect(plant.truth().now[0]!.strandTensionN).toBeCloseTo((10 * 500 + 5 * 500) / 2, 6);
    passTo(plant, TO_MS - HOUR_MS);
    expect(plant.truth().now[0]!.strandTensionN).toBeCloseTo(5000, 6);
  });
});

describe('trouble with a sensor', () => {
  const moving = { breathing: { waves: [{ mm: 5, per: { chainMm: 3000 } }] }, sensors: { positionMm: 0.05 } };

  function readWhile(trouble: PlantTrouble, signal = LEFT) {
    const readings = of(readingsTo(struckBy(trouble, moving), TO_MS + HOUR_MS - 1), signal);
    const during = readings.filter(({ timeMs }) => timeMs > FROM_MS && timeMs < TO_MS);
    const after = readings.filter(({ timeMs }) => timeMs > TO_MS);
    return { during: during.map(({ raw }) => raw), after: after.map(({ raw }) => raw), readings };
  }

  const usual = readWhile({ kind: 'gap', fromMs: TO_MS + 9 * HOUR_MS, toMs: TO_MS + 10 * HOUR_MS }).during;

  it('flat, it repeats its last value to the last digit', () => {
    const { during, after } = readWhile({ kind: 'sensor-flat', signal: LEFT, ...lasts });
    expect(new Set(during).size).toBe(1);
    expect(new Set(after).size).toBeGreaterThan(100);
  });

  it('drifting, it goes off by so much a day, and is right again afterwards', () => {
    const { during, after } = readWhile({ kind: 'sensor-drift', signal: LEFT, ...lasts, perDay: 240 });
    const off = during.map((raw, index) => raw - usual[index]!);
    expect(off.at(-1)).toBeCloseTo(20, 1);
    expect(off[Math.floor(off.length / 2)]).toBeCloseTo(10, 1);
    expect(Math.max(...after)).toBeLessThan(306);
  });

  it('spiking, it is off by a jump in so many readings and right in the others', () => {
    const { during } = readWhile({ kind: 'sensor-spikes', signal: LEFT, ...lasts, share: 0.05, height: 40 });
    const far = during.filter((raw, index) => Math.abs(raw - usual[index]!) > 15);
    const right = during.filter((raw, index) => raw === usual[index]);
    expect(far.length / during.length).toBeCloseTo(0.05, 1);
    expect(far.length + right.length).toBe(during.length);
  });

  it('noisy, it scatters so many times as much', () => {
    const { during } = readWhile({ kind: 'sensor-noisy', signal: LEFT, ...lasts, times: 21 });
    const off = during.map((raw, index) => raw - usual[index]!);
    const spread = Math.sqrt(off.reduce((sum, mm) => sum + mm * mm, 0) / off.length);
    expect(spread).toBeCloseTo(20 * 0.05, 1);
  });

  it('in its fault band, it gives one raw value; without numbers, none', () => {
    expect(new Set(readWhile({ kind: 'fault-band', signal: LEFT, ...lasts, raw: 3.5 }).during)).toEqual(new Set([3.5]));
    expect(readWhile({ kind: 'not-a-number', signal: LEFT, ...lasts, share: 1 }).during.every(Number.isNaN)).toBe(true);
  });

  it('lost, it alone is silent; in a gap, all are', () => {
    const lost: PlantTrouble = { kind: 'signal-lost', signal: LEFT, ...lasts };
    expect(readWhile(lost).during).toEqual([]);
    expect(readWhile(lost, 'tu1/right/position').during.length).toBeGreaterThan(7000);
    expect(readWhile({ kind: 'gap', ...lasts }, 'running').during).toEqual([]);
  });

  it('with its clock off, its readings carry another time than the one they come in at', () => {
    const { readings } = readWhile({ kind: 'clock-off', signal: LEFT, ...lasts, byS: -90 });
    const back = readings.findIndex(({ timeMs }, index) => index > 0 && timeMs < readings[index - 1]!.timeMs);
    expect(readings[back - 1]!.timeMs - readings[back]!.timeMs).toBeGreaterThan(85_000);
    expect(readings[back]!.timeMs).toBeGreaterThanOrEqual(FROM_MS - 91_000);
  });

  it('set to zero anew, it reads from then on what the entry says at that place', () => {
    const works = [workOn('c', FROM_MS, { kind: 'sensor-rezeroed', takeup: 'tu1', side: 'left', positionMm: 120 })];
    const readings = of(readingsTo(quietPlant(siteWith(), { works }), FROM_MS + MINUTE_MS), LEFT);
    expect(readings[0]!.raw).toBe(300);
    expect(readings.at(-1)!.raw).toBe(120);
  });

  it('that goes flat before the plant begins is flat from the beginning', () => {
    const plant = struckBy({ kind: 'sensor-flat', signal: LEFT, fromMs: START_MS - HOUR_MS, toMs: TO_MS }, moving);
    expect(new Set(of(readingsTo(plant, FROM_MS), LEFT).map(({ raw }) => raw)).size).toBe(1);
  });
});

describe('the truth of troubles', () => {
  it('lists those that have begun, with what they touch', () => {
    const plant = struckBy({ kind: 'sensor-flat', signal: LEFT, ...lasts });
    passTo(plant, FROM_MS - 1);
    expect(plant.truth().faults).toEqual([]);
    passTo(plant, FROM_MS);
    expect(plant.truth().faults).toEqual([{ conveyor: 'c', kind: 'sensor-flat', ...lasts, signal: LEFT }]);
  });
});
