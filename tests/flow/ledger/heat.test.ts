import { describe, expect, it } from 'vitest';
import { HeatTrack, type HeatTrackSaved } from '../../../agent/flow/ledger/heat.js';
import { testSite } from '../way/test-site.js';

const zone = (id: string, own: Readonly<Record<string, unknown>> = {}): Record<string, unknown> => ({
  id,
  length_mm: 10_000,
  reference_c: 20,
  temperature: {},
  ...own,
});
const conveyorWith = (...zones: Record<string, unknown>[]): ConstructorParameters<typeof HeatTrack>[0] =>
  testSite({ conveyor: { zones } }).conveyors[0]!;

describe('the heat of the chain', () => {
  it('is the sum over its zones of length and warmth above the reference', () => {
    const heat = new HeatTrack(conveyorWith(zone('oven'), zone('dip', { length_mm: 4000, reference_c: 60 })));
    heat.read(0, 0, 220);
    heat.read(1, 0, 50);
    expect(heat.zoneHeat).toBe(10_000 * 200 + 4000 * -10);
    expect(heat.ambientHeat).toBe(0);
  });

  it('is not known while one temperature is not', () => {
    const heat = new HeatTrack(conveyorWith(zone('oven'), zone('dip')));
    heat.read(0, 0, 220);
    expect(heat.zoneHeat).toBeNaN();
    heat.read(1, 0, 20);
    expect(heat.zoneHeat).toBe(2_000_000);
    heat.lose(0);
    expect(heat.zoneHeat).toBeNaN();
    heat.read(0, 5000, 120);
    expect(heat.zoneHeat).toBe(1_000_000);
  });

  it('of the rest of the path is that of the ambient', () => {
    const heat = new HeatTrack(testSite({ conveyor: { ambient: { reference_c: 20, temperature: {} } } }).conveyors[0]!);
    expect(heat.ambientHeat).toBeNaN();
    heat.read(0, 0, 26);
    expect([heat.zoneHeat, heat.ambientHeat]).toEqual([0, 6]);
    heat.lose(0);
    expect(heat.ambientHeat).toBeNaN();
  });

  it('follows a zone with its lag: 63 % of a step after one time constant, however often it is read', () => {
    for (const everyS of [10, 60, 300]) {
      const heat = new HeatTrack(conveyorWith(zone('oven', { lag_s: 600 })));
      for (let second = 0; second <= 6000; second += everyS) heat.read(0, second * 1000, 20);
      for (let second = 6000 + everyS; second <= 6600 + everyS; second += everyS) heat.read(0, second * 1000, 120);
      expect(heat.zoneHeat / 1_000_000).toBeCloseTo(1 - Math.exp(-1), 6);
    }
  });

  it('goes on from what was saved through JSON as if nothing had been', () => {
    const conveyor = conveyorWith(zone('oven', { lag_s: 600 }), zone('dip'));
    const whole = new HeatTrack(conveyor);
    let halves = new HeatTrack(conveyor);
    for (let i = 0; i < 20; i++) {
      for (const heat of [whole, halves]) heat.read(i % 2, i * 60_000, 20 + i * 7);
      if (i === 7) for (const heat of [whole, halves]) heat.lose(1);
      halves = new HeatTrack(conveyor, JSON.parse(JSON.stringify(halves.save())) as HeatTrackSaved);
      expect(halves.zoneHeat).toBe(whole.zoneHeat);
    }
  });
});
