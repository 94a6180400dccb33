import { describe, expect, it } from 'vitest';
import { thermalMm } from '../../agent/flow/ledger/closure.js';
import { reevingGain } from '../../agent/site/reeving-gain.js';
import { testSite } from '../flow/way/test-site.js';

// Tags: [T] read in an independent transcription of the source and recomputed, [own] worked out here.

/** A chain of one length that is as warm all over as the air. */
function inAmbient(lengthMm: number, referenceC: number): Parameters<typeof thermalMm>[0] {
  return testSite({
    chain: { pitch_mm: 100, pitches: lengthMm / 100, expansion_per_c: 12e-6 },
    conveyor: { ambient: { reference_c: referenceC, temperature: {} } },
  }).conveyors[0]!;
}

describe('warmth lengthens', () => {
  it('1275 m of steel by 0.84 m from −15 to 40 °C', () => {
    // H1 [T] OpenStax College Physics, Example 13.3: the main span of a suspension bridge, α = 12e-6 /°C.
    const grownM = thermalMm(inAmbient(1_275_000, -15), 1_275_000, 0, 40 - -15) / 1000;
    expect(Math.abs(grownM - 0.84)).toBeLessThanOrEqual(0.005);
  });

  it('300 m of chain by 108 mm for 30 °C, which moves a 180° carriage out by 54 mm', () => {
    // H2 [own] 300 000 · 12e-6 · 30.
    const grownMm = thermalMm(inAmbient(300_000, 20), 300_000, 0, 30);
    expect(grownMm).toBeCloseTo(108, 9);
    expect(grownMm / reevingGain(180)).toBeCloseTo(54, 9);
  });

  it('the chain in a furnace zone by its own length and warmth, and the rest by the ambient', () => {
    // [own] 60 m at 820 °C above its reference, α = 11.7e-6, and 240 m at 5 °C above.
    const site = testSite({
      chain: { pitch_mm: 100, pitches: 3000, expansion_per_c: 11.7e-6 },
      conveyor: {
        zones: [{ id: 'furnace', length_mm: 60_000, reference_c: 20, temperature: {} }],
        ambient: { reference_c: 20, temperature: {} },
      },
    });
    expect(thermalMm(site.conveyors[0]!, 300_000, 60_000 * 820, 5)).toBeCloseTo(11.7e-6 * (60_000 * 820 + 240_000 * 5), 9);
  });

  it('the chain less the track, where the track grows in the same zones', () => {
    const site = testSite({
      chain: { pitch_mm: 100, pitches: 3000, expansion_per_c: 11.7e-6, track_expansion_per_c: 11.7e-6 },
      conveyor: { zones: [{ id: 'furnace', length_mm: 60_000, reference_c: 20, temperature: {} }] },
    });
    expect(thermalMm(site.conveyors[0]!, 300_000, 60_000 * 820, 0)).toBe(0);
  });
});
