import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { travelPerWear } from '../../agent/flow/takeup/travel.js';
import { workOn } from '../../agent/simulate/work.js';
import type { Conveyor, Site } from '../../agent/site/site.js';
import { DAY_MS, HOUR_MS, passTo, positionOf, quietPlant, siteWith, START_MS } from './quiet-plant.js';

/** Move of the carriage by one piece of work, an hour after the start. */
function moveBy(site: Site, job: Parameters<typeof workOn>[2], elongationPct?: number): number {
  const over = { works: [workOn('c', START_MS + HOUR_MS, job)] };
  const plant = quietPlant(site, elongationPct === undefined ? over : { ...over, wear: { elongationPct } });
  passTo(plant, START_MS + 2 * HOUR_MS);
  return plant.truth().steps[0]!.moveMm['tu1']!;
}

function heated(lengthMm: number, fromC: number, workC: number, expansionPerC: number): { thermalMm: number; movedMm: number } {
  const pitches = Math.ceil(lengthMm / 100);
  const site = siteWith({
    chain: { pitches, expansion_per_c: expansionPerC },
    conveyor: { zones: [{ id: 'hall', length_mm: lengthMm, reference_c: fromC, temperature: {} }] },
    takeups: [{ stroke_mm: 2000, at_mm: 300, spring: { free_mm: 3000, rate_n_per_mm: 10, solid_mm: 100, clearance_mm: 1, per_side: 1 } }],
  });
  const plant = quietPlant(site, { heat: { hall: { workC, heatUpS: 60, coolDownS: 60, startBeforeS: 0, spreadC: 0 } } });
  passTo(plant, START_MS + DAY_MS + HOUR_MS);
  return { thermalMm: plant.truth().days[0]!.thermalMm, movedMm: positionOf(plant) - 300 };
}

describe('a plant at its reference', () => {
  it('stands where the site says it was', () => {
    const plant = quietPlant(siteWith());
    passTo(plant, START_MS + HOUR_MS);
    expect(positionOf(plant)).toBeCloseTo(300, 9);
  });

  // G2, common practice of the trade (no published source): 3200 joints × 0.010 in = 32 in of chain = 16 in of carriage.
  it('has a 180° carriage moved 16 in by 0.010 in of wear in each of 3200 joints', () => {
    const inch = 25.4;
    const site = siteWith({ chain: { pitch_mm: 3 * inch, pitches: 3200, wear_at_reference_pct: 0 } });
    const plant = quietPlant(site, { wear: { elongationPct: (100 * 0.01) / 3 } });
    passTo(plant, START_MS + HOUR_MS);
    expect((positionOf(plant) - 300) / inch).toBeCloseTo(16, 9);
  });

  it('wears by the running hour', () => {
    const plant = quietPlant(siteWith(), { wear: { pctPer1000Hours: 0.5 } });
    passTo(plant, START_MS + 100 * HOUR_MS);
    expect(plant.truth().now[0]!.elongationPct).toBeCloseTo(1.05, 9);
  });

  it('runs in: a new chain wears faster at first, and less so from day to day', () => {
    const site = siteWith({ chain: { wear_at_reference_pct: 0 } });
    const plant = quietPlant(site, { wear: { pctPer1000Hours: 0.5, runInTimes: 3, runInHours: 100, hoursAtStart: 0 } });
    const gained = [0, 1, 2, 10].map((day) => {
      passTo(plant, Math.max(plant.nowMs, START_MS + day * DAY_MS));
      const before = plant.truth().now[0]!.elongationPct;
      passTo(plant, START_MS + (day + 1) * DAY_MS);
      return plant.truth().now[0]!.elongationPct - before;
    });
    expect([...gained].sort((a, b) => b - a)).toEqual(gained);
    // Three times as fast at the start, and the excess down to 1/e after 100 running hours.
    expect(gained[0]! / (0.012 * (1 + 2 * Math.exp(-12 / 100)))).toBeCloseTo(1, 2);
    expect(gained[3]!).toBeLessThan(0.012 * 1.2);
  });
});

describe('heat', () => {
  // H2, own figures: 300 m warmed by 30 °C at 12e-6: chain 108 mm, carriage 54 mm.
  it('lengthens 300 m of chain by 108 mm for 30 °C and moves a 180° carriage out 54 mm', () => {
    const { thermalMm, movedMm } = heated(300_000, 20, 50, 12e-6);
    expect(thermalMm).toBeCloseTo(108, 0);
    expect(movedMm).toBeCloseTo(54, 3);
  });

  // H1: OpenStax, College Physics, Ex. 13.3 [T]: steel of 1275 m from −15 to 40 °C grows by 0.84 m.
  it('lengthens 1275 m of steel by 0.84 m from −15 to 40 °C', () => {
    expect(heated(1_275_000, -15, 40, 12e-6).movedMm * 2).toBeCloseTo(841.5, 1);
  });

  it('follows with the lag of the zone, and a cold start draws the carriage in', () => {
    const site = siteWith({ conveyor: { zones: [{ id: 'oven', length_mm: 60_000, reference_c: 180, temperature: {}, lag_s: 600 }] } });
    const day = [[360, 1080]] as const;
    const plant = quietPlant(site, {
      shifts: { week: Array.from({ length: 7 }, () => day) },
      heat: { oven: { workC: 180, heatUpS: 900, coolDownS: 1800, startBeforeS: 0, spreadC: 0 } },
    });
    passTo(plant, START_MS + DAY_MS + 6 * HOUR_MS);
    const cold = positionOf(plant);
    passTo(plant, START_MS + DAY_MS + 12 * HOUR_MS);
    expect(positionOf(plant)).toBeCloseTo(300, 1);
    // 60 m · 160 °C · 11.7e-6 / 2, from the air's 20 °C.
    expect(positionOf(plant) - cold).toBeCloseTo((60_000 * 160 * 1.17e-5) / 2, 0);
  });
});

describe('chain taken out', () => {
  // G2, common practice: 12 in out of unworn chain draws the carriage in 6 in.
  it('draws the carriage in by half of it', () => {
    const inch = 25.4;
    const site = siteWith({ chain: { pitch_mm: 3 * inch, wear_at_reference_pct: 0 } });
    expect(moveBy(site, { kind: 'chain-removed', pitches: 4 }) / inch).toBeCloseTo(-6, 9);
  });

  it('of so many pitches draws a 180° carriage in by k·p·(1+ε)/2', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 4 }), fc.double({ min: 0.95, max: 1.25, noNaN: true }), (pitches, elongationPct) => {
        const moved = moveBy(siteWith(), { kind: 'chain-removed', pitches }, elongationPct);
        expect(moved).toBeCloseTo((-pitches * 100 * (1 + elongationPct / 100)) / 2, 6);
      }),
      { numRuns: 20 },
    );
  });

  it('of a chain that stretches draws the carriage in by less: tighter springs pull the rest longer', () => {
    const site = siteWith({ chain: { stiffness_kn: 10_000 } });
    const share = travelPerWear(200_000, 1e7, [{ gain: 2, springRateNPerMm: 20 }])[0]!;
    // The chain that is left is shorter than the one that the share is of by a thousandth.
    expect(moveBy(site, { kind: 'chain-removed', pitches: 2 })).toBeCloseTo(-202 * share, 0);
    expect(202 * share).toBeLessThan(101);
  });

  it('lies on the closure, whatever is done: n·p·(1+ε) = C + Σ g·x', () => {
    const site = siteWith({ takeups: [{}, { wrap_deg: 120 }] });
    const { chain, takeups } = site.conveyors[0] as Conveyor;
    const at = (hour: number) => START_MS + hour * HOUR_MS;
    const plant = quietPlant(site, {
      wear: { pctPer1000Hours: 1 },
      works: [
        workOn('c', at(3), { kind: 'chain-removed', pitches: 4 }),
        workOn('c', at(6), { kind: 'nut-turned', takeup: 'tu2', side: 'left', turns: 9 }),
        workOn('c', at(9), { kind: 'chain-inserted', pitches: 2 }),
      ],
    });
    const constantMm = chain.pitches * chain.pitchMm * 1.01 - takeups.reduce((sum, { gain }) => sum + gain * 300, 0);
    for (let hour = 1; hour < 12; hour++) {
      passTo(plant, at(hour));
      const { now } = plant.truth();
      const taken = takeups.reduce((sum, { gain }, index) => sum + gain * now[index]!.positionMm, 0);
      const { pitches, elongationPct } = now[0]!;
      expect(pitches * chain.pitchMm * (1 + elongationPct / 100)).toBeCloseTo(constantMm + taken, 6);
    }
  });
});

describe('other work on chain and springs', () => {
  it('new chain put in moves the carriage out by half of it and thins the wear', () => {
    const plant = quietPlant(siteWith(), { works: [workOn('c', START_MS + HOUR_MS, { kind: 'chain-inserted', pitches: 2 })] });
    passTo(plant, START_MS + 2 * HOUR_MS);
    expect(positionOf(plant)).toBeCloseTo(400, 6);
    expect(plant.truth().now[0]!.elongationPct).toBeCloseTo((1 * 2000) / 2002, 9);
  });

  it('a new chain has no wear, and lies on the same track', () => {
    const plant = quietPlant(siteWith(), { works: [workOn('c', START_MS + 5 * HOUR_MS, { kind: 'chain-replaced', pitches: 2020 })] });
    passTo(plant, START_MS + 6 * HOUR_MS);
    // 2020 new pitches are as long as 2000 worn by 1 %.
    expect(positionOf(plant)).toBeCloseTo(300, 6);
    expect(plant.truth().now[0]).toMatchObject({ elongationPct: 0, pitches: 2020, removedPitches: 0 });
  });

  it('a nut turned tightens its spring by its lead, and moves no carriage on a chain that does not stretch', () => {
    const job = { kind: 'nut-turned', takeup: 'tu1', side: 'left', turns: 4 } as const;
    const plant = quietPlant(siteWith(), { works: [workOn('c', START_MS + HOUR_MS, job)] });
    passTo(plant, START_MS + 2 * HOUR_MS);
    const now = plant.truth().now[0]!;
    expect(now).toMatchObject({ positionMm: 300, springLeftMm: 488, springRightMm: 500 });
    // 10 N/mm: 512 and 500 mm of compression, shared by two strands.
    expect(now.strandTensionN).toBeCloseTo((10 * 512 + 10 * 500) / 2, 6);
  });

  it('a nut turned moves the carriage out a little on a chain that stretches', () => {
    const site = siteWith({ chain: { stiffness_kn: 10_000 } });
    const moved = moveBy(site, { kind: 'nut-turned', takeup: 'tu1', side: 'left', turns: 4 });
    // The pull of 12 mm · 10 N/mm on 200 m of chain; the springs give as the carriage moves.
    const stretchPerN = 200_000 / 1e7;
    expect(moved).toBeCloseTo((stretchPerN * 60) / (2 + stretchPerN * 10), 6);
  });

  it('a spring set to a length has that length when the carriage has come to rest', () => {
    const site = siteWith({ chain: { stiffness_kn: 5000 } });
    const works = [
      workOn('c', START_MS + HOUR_MS, { kind: 'nut-turned', takeup: 'tu1', side: 'left', springMm: 430 }),
      workOn('c', START_MS + 3 * HOUR_MS, {
        kind: 'spring-replaced',
        takeup: 'tu1',
        side: 'right',
        spring: { freeMm: 900, rateNPerMm: 14, solidMm: 90, clearanceMm: 10, perSide: 1 },
        springMm: 520,
      }),
    ];
    const plant = quietPlant(site, { works });
    passTo(plant, START_MS + 2 * HOUR_MS);
    expect(plant.truth().now[0]!.springLeftMm).toBeCloseTo(430, 6);
    passTo(plant, START_MS + 4 * HOUR_MS);
    expect(plant.truth().now[0]!.springRightMm).toBeCloseTo(520, 6);
  });
});

describe('the truth of dates', () => {
  it('says when the carriage reaches the outer stop and the chain its limit, and so it comes', () => {
    const site = siteWith({ chain: { wear_limit_pct: 1.2 }, takeups: [{ stroke_mm: 380 }] });
    const over = { wear: { pctPer1000Hours: 0.2 } };
    const plant = quietPlant(site, over, { readingPeriodS: 3600 });
    passTo(plant, START_MS + 5 * DAY_MS);
    const { strokeOutMs, wearLimitMs } = plant.truth().now[0]!;
    passTo(plant, strokeOutMs!);
    // The date starts from the day's mean, which is half a day old at midnight.
    expect(Math.abs(positionOf(plant) - 380)).toBeLessThan(3);
    passTo(plant, wearLimitMs!);
    expect(plant.truth().now[0]!.elongationPct).toBeCloseTo(1.2, 6);
  });

  it('has none where nothing wears', () => {
    const plant = quietPlant(siteWith());
    passTo(plant, START_MS + DAY_MS);
    expect(plant.truth().now[0]).toMatchObject({ strokeOutMs: null, wearLimitMs: null });
  });
});
