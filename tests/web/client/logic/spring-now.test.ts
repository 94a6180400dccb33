import { describe, expect, it } from 'vitest';
import { springInForce, springNow } from '../../../../web/client/logic/spring-now.js';

const SIDE = { readingMm: 88, positionMm: 100, springMm: 240 };

describe('the length of a spring now', () => {
  it('follows the carriage where the spring has no sensor of its own', () => {
    expect(springNow(SIDE, false)).toBe(228);
  });

  it('is what is told where it has', () => {
    expect(springNow(SIDE, true)).toBe(240);
  });

  it('is not known where that is not known', () => {
    const lost = { unknown: 'signal-lost' } as const;
    expect(springNow({ readingMm: lost, positionMm: lost, springMm: lost }, false)).toEqual(lost);
    expect(springNow(undefined, false)).toBeUndefined();
  });
});

describe('the spring that is drawn', () => {
  const OF_SITE = { freeMm: 320, rateNPerMm: 18, solidMm: 150, clearanceMm: 12, perSide: 1 };

  it('is the one that was put in, once one was', () => {
    expect(springInForce({ spring: { ...OF_SITE, freeMm: 300, solidMm: 140 } }, OF_SITE)).toMatchObject({ freeMm: 300, solidMm: 140 });
  });

  it("is the site file's while nothing is heard, with as many coils as its wire has", () => {
    const wire = { wireMm: 15, meanDiameterMm: 80, activeCoils: 8, totalCoils: 10, shearModulusMpa: 81_500 } as const;
    const spring = { ...OF_SITE, wire: { ...wire, ends: 'ground', coiled: 'cold', load: 'static' } as const };
    expect(springInForce(undefined, spring)).toMatchObject({ freeMm: 320, totalCoils: 10 });
  });
});
