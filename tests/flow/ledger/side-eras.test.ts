import { describe, expect, it } from 'vitest';
import type { WorkEntry } from '../../../agent/contract/service-entry.js';
import type { Anchor, PlacedEntry } from '../../../agent/flow/ledger/placed-entry.js';
import { eraAt, sideEras } from '../../../agent/flow/ledger/side-eras.js';
import { testSite } from '../way/test-site.js';

const TAKEUP = testSite().conveyors[0]!.takeups[0]!;
const ON_LEFT = { conveyor: 'line', takeup: 'tu1', side: 'left' } as const;

/** An entry that took effect at a time, with the side's position then. */
function placed(atMs: number, entry: WorkEntry, sideMm = NaN): PlacedEntry {
  const anchor: Anchor | undefined = Number.isNaN(sideMm)
    ? undefined
    : { atMs, sideMm, takenUpMm: NaN, zoneHeat: NaN, ambientHeat: NaN, tensionN: NaN };
  return { id: String(atMs), entry, atMs, anchor };
}

const turned = (atMs: number, turns: number): PlacedEntry => placed(atMs, { ...ON_LEFT, timeMs: atMs, kind: 'nut-turned', turns });

describe('the nut of a side', () => {
  it('stands as the site set it, before any entry', () => {
    expect(sideEras(TAKEUP, 'left', [])).toEqual([
      { fromMs: -Infinity, set: { positionMm: 40, springMm: 200 }, spring: TAKEUP.spring, shiftMm: 0 },
    ]);
  });

  it('turned by z turns of lead s shortens the spring by z·s, and slackened lengthens it', () => {
    const eras = sideEras(TAKEUP, 'left', [turned(1000, 2), turned(2000, -0.5)]);
    expect(eras.map(({ set }) => set.springMm)).toEqual([200, 194, 195.5]);
    expect(eras.map(({ fromMs }) => fromMs)).toEqual([-Infinity, 1000, 2000]);
  });

  it('may be said by the spring length measured with the carriage where it stood', () => {
    const entry: WorkEntry = { ...ON_LEFT, timeMs: 1000, kind: 'nut-turned', springMm: 210 };
    expect(sideEras(TAKEUP, 'left', [placed(1000, entry, 62)]).at(-1)?.set).toEqual({ positionMm: 62, springMm: 210 });
  });

  it('of the other side, or of another take-up, is no matter here', () => {
    const other = placed(1000, { ...ON_LEFT, side: 'right', timeMs: 1000, kind: 'nut-turned', turns: 2 });
    const elsewhere = placed(1000, { ...ON_LEFT, takeup: 'tu2', timeMs: 1000, kind: 'nut-turned', turns: 2 });
    expect(sideEras(TAKEUP, 'left', [other, elsewhere])).toHaveLength(1);
  });
});

describe('a spring that is replaced', () => {
  it('is that of the side from then on, at its measured length', () => {
    const spring = { ...TAKEUP.spring, freeMm: 300, rateNPerMm: 25 };
    const entry: WorkEntry = { ...ON_LEFT, timeMs: 1000, kind: 'spring-replaced', spring, springMm: 230 };
    const eras = sideEras(TAKEUP, 'left', [placed(1000, entry, 70)]);
    expect(eraAt(eras, 999).spring).toBe(TAKEUP.spring);
    expect(eraAt(eras, 1000)).toMatchObject({ spring, set: { positionMm: 70, springMm: 230 } });
  });
});

describe('a sensor that is re-zeroed', () => {
  it('moves the set position with the scale, so that the spring stays as long as it is', () => {
    const rezeroed = (atMs: number, positionMm: number, sideMm: number): PlacedEntry =>
      placed(atMs, { ...ON_LEFT, timeMs: atMs, kind: 'sensor-rezeroed', positionMm }, sideMm);
    const eras = sideEras(TAKEUP, 'left', [rezeroed(1000, 90, 60), rezeroed(2000, 50, 95)]);
    expect(eras.map(({ set }) => set.positionMm)).toEqual([40, 70, 25]);
    expect(eras.map(({ shiftMm }) => shiftMm)).toEqual([0, 30, -15]);
    // 20 mm beyond the set position: the same spring in either scale.
    for (const [era, at] of [
      [eras[0]!, 60],
      [eras[1]!, 90],
    ] as const)
      expect(era.set.springMm + at - era.set.positionMm).toBe(220);
  });

  it('whose old reading nobody knows changes nothing yet', () => {
    const eras = sideEras(TAKEUP, 'left', [placed(1000, { ...ON_LEFT, timeMs: 1000, kind: 'sensor-rezeroed', positionMm: 90 })]);
    expect(eras.at(-1)).toMatchObject({ shiftMm: 0, set: { positionMm: 40 } });
  });
});

describe('the era at a time', () => {
  it('is the last that has begun', () => {
    const eras = sideEras(TAKEUP, 'left', [turned(1000, 1), turned(2000, 1)]);
    expect([-1e15, 999, 1000, 1999, 2000, 1e15].map((atMs) => eras.indexOf(eraAt(eras, atMs)))).toEqual([0, 0, 1, 1, 2, 2]);
  });
});
