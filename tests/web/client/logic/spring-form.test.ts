import { describe, expect, it } from 'vitest';
import { springFigures, springYaml, type SpringForm } from '../../../../web/client/logic/spring-form.js';

/** Round numbers of our own, worked out by hand from EN 13906-1. */
const FORM: SpringForm = {
  ...{ wireMm: 16, meanDiameterMm: 80, activeCoils: 8, totalCoils: 10, shearModulusMpa: 81_500, freeMm: 320 },
  ...{ ends: 'ground', coiled: 'cold', load: 'static' },
};

describe('a spring of which the wire is known', () => {
  it('has its rate, solid and shortest usable length by EN 13906-1', () => {
    expect(springFigures(FORM)).toMatchObject({
      ...{ ok: true, index: 5, solidMm: 160, warnings: [] },
      rateNPerMm: expect.closeTo(163, 6) as number,
      clearanceMm: expect.closeTo(17.6, 6) as number,
      shortestMm: expect.closeTo(177.6, 6) as number,
    });
    expect(springFigures({ ...FORM, ends: 'unground' })).toMatchObject({ solidMm: 184, shortestMm: expect.closeTo(201.6, 6) as number });
  });

  it('has its forces and stresses at the shortest usable length', () => {
    const figures = springFigures(FORM);
    if (!figures.ok) throw new Error(figures.why);
    expect(figures.forceAtShortestN).toBeCloseTo(163 * (320 - 177.6), 3);
    expect(figures.stressAtShortestMpa).toBeCloseTo((8 * 80 * figures.forceAtShortestN) / (Math.PI * 16 ** 3), 6);
    expect(figures.correctedAtShortestMpa / figures.stressAtShortestMpa).toBeCloseTo(5.5 / 4.25, 9);
  });

  it('says what cannot be, and what the formulas do not hold for', () => {
    expect(springFigures({ ...FORM, wireMm: NaN })).toMatchObject({ ok: false });
    expect(springFigures({ ...FORM, freeMm: 150 })).toMatchObject({ ok: false, why: expect.stringContaining('Solid') as string });
    expect(springFigures({ ...FORM, meanDiameterMm: 50 })).toMatchObject({ warnings: [expect.stringContaining('4 to 20') as string] });
  });

  it('stands in a site file as the reader of site files takes it', () => {
    expect(springYaml(FORM)).toBe(
      'spring: { wire_mm: 16, mean_diameter_mm: 80, active_coils: 8, total_coils: 10, shear_modulus_mpa: 81500, free_mm: 320, ends: ground, coiled: cold, load: static, per_side: 1 }',
    );
  });
});
