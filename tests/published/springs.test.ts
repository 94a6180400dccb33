import { describe, expect, it, test } from 'vitest';
import {
  correctedShearStressMpa,
  leastClearanceMm,
  shearStressMpa,
  solidLengthMm,
  springIndex,
  springRateNPerMm,
  stressFactor,
} from '../../agent/units/spring-from-wire.js';

// Tags: [P] read in a published page, [T] read in an independent transcription of the source and recomputed,
// [M] from memory, [own] round numbers of our own. Tolerances are half a unit of the last published figure.

const MM_PER_IN = 25.4;
const N_PER_LBF = 4.448_221_615_260_5;
const MPA_PER_KPSI = (N_PER_LBF / MM_PER_IN ** 2) * 1000;

function within(value: number, published: number, halfUnit: number): void {
  expect(Math.abs(value - published), `${String(value)} against ${String(published)}`).toBeLessThanOrEqual(halfUnit);
}

describe('a music-wire spring of a textbook in US units', () => {
  // S1 [T] Budynas & Nisbett, Shigley's Mechanical Engineering Design, Ex. 10-1: squared, unground ends,
  // d 0.037 in, D 0.400 in, 10.5 active coils, G 11.85 Mpsi. Its solid length is (total + 1)·d, the US rule, and is not compared.
  const coil = { wireMm: 0.037 * MM_PER_IN, meanDiameterMm: 0.4 * MM_PER_IN, activeCoils: 10.5 };
  const rate = springRateNPerMm(coil, 11_850 * MPA_PER_KPSI);

  it('has the published index and stress factor', () => {
    within(springIndex(coil), 10.8, 0.05);
    within(stressFactor(springIndex(coil)), 1.124, 0.0005);
  });

  it('has the published rate, lbf/in, and deflection, in', () => {
    const rateLbfPerIn = (rate * MM_PER_IN) / N_PER_LBF;
    within(rateLbfPerIn, 4.13, 0.005);
    within(6.46 / rateLbfPerIn, 1.56, 0.005);
  });

  it('has the published corrected stress at 6.46 lbf, kpsi', () => {
    within(correctedShearStressMpa(coil, 6.46 * N_PER_LBF) / MPA_PER_KPSI, 146, 0.5);
  });
});

describe('springs of a textbook in SI units', () => {
  it('have the published rate', () => {
    // S2 [T] Bhandari, Design of Machine Elements, Ex. 10.2.
    within(springRateNPerMm({ wireMm: 11, meanDiameterMm: 55, activeCoils: 5 }, 81_370), 179.014, 0.0005);
  });

  it('have the published deflection, free length and pitch of coils', () => {
    // S3 [T] Bhandari, Ex. 10.1: ten coils in all with ground ends and 1 mm between them at the full load.
    const deflection = 1250 / springRateNPerMm({ wireMm: 7, meanDiameterMm: 42, activeCoils: 8 }, 81_370);
    const free = solidLengthMm(10, 7, 'ground') + 9 * 1 + deflection;
    within(deflection, 30.34, 0.005);
    within(free, 109.34, 0.005);
    within(free / 9, 12.148_623, 0.000_000_5);
  });
});

describe('the sample calculation of EN 13906-1', () => {
  // S4 [T] d 5, D 34.6, 9.5 active of 11.5 coils, G 81 500, squared and ground, free 105.8.
  const coil = { wireMm: 5, meanDiameterMm: 34.6, activeCoils: 9.5 };
  const rate = springRateNPerMm(coil, 81_500);
  const solid = solidLengthMm(11.5, 5, 'ground');

  it('has the published index, rate and solid length', () => {
    within(springIndex(coil), 6.92, 0.005);
    within(rate, 16.181, 0.0005);
    expect(solid).toBe(57.5);
  });

  test.each([
    [280, 88.5],
    [620, 67.5],
  ])('is as long at %i N as published', (force, length) => {
    within(105.8 - force / rate, length, 0.05);
  });

  it('has the published clearances and shortest lengths', () => {
    const still = leastClearanceMm(coil, 'cold', 'static');
    const moving = leastClearanceMm(coil, 'cold', 'dynamic');
    within(still, 8.16, 0.005);
    within(solid + still, 65.7, 0.05);
    within(solid + moving, 69.7, 0.05);
    // The sample rounds its 12.24 mm upwards, to the safe side, hence a whole unit of its last figure.
    within(moving, 12.3, 0.1);
  });
});

describe('the rules for the least clearance', () => {
  test.each([
    [5, 34.6, 9.5],
    [16, 80, 8],
    [3, 24, 6],
  ])('are those of the standard for d %d, D %d, n %d', (wireMm, meanDiameterMm, activeCoils) => {
    // S5 [P] INSA Toulouse, course page on spring lengths: S_a = n(0.0015 D²/d + 0.1 d), ×1.5 beyond 10⁴ cycles.
    const published = activeCoils * (0.0015 * (meanDiameterMm ** 2 / wireMm) + 0.1 * wireMm);
    const coil = { wireMm, meanDiameterMm, activeCoils };
    expect(leastClearanceMm(coil, 'cold', 'static')).toBeCloseTo(published, 12);
    expect(leastClearanceMm(coil, 'cold', 'dynamic')).toBeCloseTo(1.5 * published, 12);
  });

  it('are others for hot-coiled springs', () => {
    // [M] S_a = 0.02 n (D + d), ×2 under dynamic load.
    const coil = { wireMm: 16, meanDiameterMm: 80, activeCoils: 8 };
    expect(leastClearanceMm(coil, 'hot', 'static')).toBeCloseTo(15.36, 12);
    expect(leastClearanceMm(coil, 'hot', 'dynamic')).toBeCloseTo(30.72, 12);
  });
});

describe('a spring of round numbers', () => {
  // S6 [own] d 16, D 80, 8 active of 10 coils, G 81 500. The 1.5 coils of unground ends are [M].
  const coil = { wireMm: 16, meanDiameterMm: 80, activeCoils: 8 };

  it('has a rate of 163 N/mm and a clearance of 17.6 mm', () => {
    expect(springRateNPerMm(coil, 81_500)).toBeCloseTo(163, 9);
    expect(leastClearanceMm(coil, 'cold', 'static')).toBeCloseTo(17.6, 12);
  });

  test.each([
    ['ground', 160, 177.6],
    ['unground', 184, 201.6],
  ] as const)('with %s ends is solid at %d mm and usable down to %d mm', (ends, solid, shortest) => {
    expect(solidLengthMm(10, 16, ends)).toBe(solid);
    expect(solid + leastClearanceMm(coil, 'cold', 'static')).toBeCloseTo(shortest, 9);
  });

  it('is stressed in proportion to its force, and more with the correction than without', () => {
    // [own] 8·80·1000/(π·16³) = 49.736 MPa; w = 5 gives a factor of 5.5/4.25.
    expect(shearStressMpa(coil, 1000)).toBeCloseTo(49.736, 3);
    expect(shearStressMpa(coil, 2000)).toBeCloseTo(2 * shearStressMpa(coil, 1000), 9);
    expect(correctedShearStressMpa(coil, 1000) / shearStressMpa(coil, 1000)).toBeCloseTo(5.5 / 4.25, 12);
  });
});
