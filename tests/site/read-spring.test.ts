import { describe, expect, it, test } from 'vitest';
import { readSpring } from '../../agent/site/read-spring.js';

describe('a spring by itself', () => {
  it('is read by its maker’s data and by its wire, as in the site file', () => {
    const maker = readSpring({ free_mm: 320, rate_n_per_mm: 18, solid_mm: 150, clearance_mm: 12 });
    expect(maker).toEqual({ ok: true, spring: { freeMm: 320, rateNPerMm: 18, solidMm: 150, clearanceMm: 12, perSide: 1 } });
    const wire = readSpring({ free_mm: 300, wire_mm: 16, mean_diameter_mm: 80, active_coils: 8, total_coils: 10, ends: 'unground' });
    expect(wire).toMatchObject({ ok: true, spring: { solidMm: 184 } });
  });

  test.each([
    [{ free_mm: 320, rate_n_per_mm: 18, solid_mm: 320, clearance_mm: 12 }, 'spring-solid'],
    [{ free_mm: 320, rate_n_per_mm: 18, solid_mm: 150, clearance_mm: 170 }, 'spring-clearance'],
    [{ free_mm: 300, wire_mm: 16, mean_diameter_mm: 80, active_coils: 8, total_coils: 7, ends: 'ground' }, 'spring-coils'],
    [{ free_mm: 320, rate: 18, solid_mm: 150, clearance_mm: 12 }, 'unknown-key'],
    [null, 'wrong-type'],
    ['18 N/mm', 'wrong-type'],
  ])('%j is refused', (value, rule) => {
    const reading = readSpring(value);
    expect(reading.ok ? [] : reading.complaints.map((complaint) => complaint.rule)).toEqual([rule]);
  });
});
