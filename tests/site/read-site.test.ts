import { describe, expect, it } from 'vitest';
import { readSite } from '../../agent/site/read-site.js';
import { signalsOf, type Site } from '../../agent/site/site.js';
import { fixtureSites, goodSite } from './fixture-files.js';

function site(text: string): Site {
  const reading = readSite(text, 'site.yaml');
  if (!reading.ok) throw new Error(JSON.stringify(reading.faults));
  return reading.site;
}

function first(of: Site) {
  const [conveyor] = of.conveyors;
  const takeup = conveyor?.takeups[0];
  if (conveyor === undefined || takeup === undefined) throw new Error('a site has a conveyor with a take-up');
  return { conveyor, takeup };
}

describe('the smallest site', () => {
  const { conveyor, takeup } = first(site(goodSite('minimal')));

  it('takes every default', () => {
    expect(conveyor).toMatchObject({
      name: 'wash',
      chain: { wearAtReferencePct: 0, expansionPerC: 1.17e-5, trackExpansionPerC: 0 },
      drive: { reversing: false },
      zones: [],
      path: [],
    });
    expect(takeup).toMatchObject({ turnFriction: 0, spring: { perSide: 1 }, limits: {} });
  });

  it('leaves out what switches something on only when it is given', () => {
    for (const key of ['running', 'speed', 'ambient', 'carriers']) expect(conveyor).not.toHaveProperty(key);
    for (const key of ['stiffnessKn', 'minTensionN', 'maxTensionN', 'connectorEveryPitches'])
      expect(conveyor.chain).not.toHaveProperty(key);
    expect(takeup).not.toHaveProperty('nutLeadMm');
    expect(takeup.sides.left).not.toHaveProperty('spring');
  });

  it('listens for both positions on the default topics, in mm, once a second', () => {
    expect(takeup.sides.left.position).toEqual({
      name: 'wash/tu1/left/position',
      quantity: 'position',
      topic: 'takeline/quay/in/wash/tu1/left/position',
      unit: 'mm',
      periodS: 1,
      lostAfterMs: 30_000,
    });
  });
});

describe('a full site', () => {
  const full = site(goodSite('full'));
  const { conveyor, takeup } = first(full);

  it('names its signals by their path, the rest of the path as ambient', () => {
    expect(signalsOf(full).map(({ name, topic, unit }) => [name, topic, unit])).toEqual([
      ['enamel/running', 'takeline/alder-point/in/enamel/running', 'state'],
      ['enamel/speed', 'takeline/alder-point/in/enamel/speed', 'm/min'],
      ['enamel/furnace/temperature', 'takeline/alder-point/in/enamel/furnace/temperature', 'C'],
      ['enamel/ambient/temperature', 'takeline/alder-point/in/enamel/ambient/temperature', 'C'],
      ['enamel/tu1/left/position', 'takeline/alder-point/in/enamel/tu1/left/position', 'mm'],
      ['enamel/tu1/right/position', 'plant/enamel/tu1', 'mm'],
      ['enamel/tu1/right/spring', 'takeline/alder-point/in/enamel/tu1/right/spring', 'mm'],
    ]);
  });

  it('reads a time as the instant its offset says', () => {
    expect(takeup.reference.atMs).toBe(Date.UTC(2026, 0, 5, 6));
    expect(takeup.sides.right.set.atMs).toBe(Date.UTC(2026, 0, 5, 6));
  });

  it('keeps the path of the chain in its order', () => {
    expect(conveyor.path.map(({ kind }) => kind)).toEqual(['straight', 'curve', 'straight', 'drive']);
    expect(conveyor.path[0]).toEqual({ kind: 'straight', lengthMm: 60_000, riseMm: -2500, loadNPerM: 180, friction: 0.08 });
    expect(conveyor.path[1]).toEqual({ kind: 'curve', angleDeg: 90, radiusMm: 600, loadNPerM: 180, friction: 0.05 });
  });

  it('keeps the set-points that differ from the defaults', () => {
    expect(takeup.limits).toEqual({
      'stroke-low': { remaining_mm: 60 },
      'carriage-skew': { skew_mm: 12, on_delay_s: 900 },
      'wear-fast': { times: 2 },
      'signal-lost': { off_delay_s: 5 },
    });
  });
});

describe('a site of another make', () => {
  it('is read the same with a byte-order mark and with the line ends of another system', () => {
    const text = goodSite('full');
    expect(site(`\uFEFF${text.replaceAll('\n', '\r\n')}`)).toEqual(site(text));
  });

  it('keeps raw units and calibration apart: mA by its scale, °F with its range in °C', () => {
    const { conveyor, takeup } = first(site(goodSite('imperial-current-loop')));
    expect(takeup.sides.left.position).toMatchObject({
      unit: 'mA',
      scale: { from: [4, 20], to: [0, 304.8] },
      periodS: 0.5,
      lostAfterMs: 30_000,
    });
    expect(takeup.sides.left.position).not.toHaveProperty('valid');
    expect(conveyor.zones[0]?.temperature).toMatchObject({ unit: 'F', valid: [-20, 300] });
  });

  it('counts a slow signal as lost after ten of its periods', () => {
    const { takeup } = first(site(goodSite('minimal').replace('left: { set', 'left: { position: { period_s: 60 }, set')));
    expect(takeup.sides.left.position.lostAfterMs).toBe(600_000);
  });

  it('works springs out from their wire, by EN 13906-1', () => {
    const [glaze, bisque] = site(goodSite('wire-springs')).conveyors.map((conveyor) => conveyor.takeups[0]?.spring);
    expect(glaze).toMatchObject({ solidMm: 160, perSide: 1, wire: { shearModulusMpa: 81_500, coiled: 'cold', load: 'static' } });
    expect(glaze?.rateNPerMm).toBeCloseTo(163, 9);
    expect(glaze?.clearanceMm).toBeCloseTo(17.6, 9);
    expect(bisque).toMatchObject({ solidMm: 184, perSide: 2 });
    expect(bisque?.rateNPerMm).toBeCloseTo(157, 9);
    expect(bisque?.clearanceMm).toBeCloseTo(30.72, 9);
  });

  it('takes the clearance of a wire spring from the site where it is given', () => {
    const text = goodSite('wire-springs').replace('free_mm: 300 }', 'free_mm: 300, clearance_mm: 25 }');
    expect(first(site(text)).takeup.spring.clearanceMm).toBe(25);
  });

  it('gives each take-up its own reeving gain', () => {
    const gains = site(goodSite('two-takeups')).conveyors.flatMap(({ takeups }) => takeups.map(({ gain }) => gain));
    expect(gains[0]).toBeCloseTo(2, 12);
    expect(gains[1]).toBeCloseTo(Math.SQRT2, 12);
  });
});

describe('the site as the program gets it', () => {
  it('is frozen through and through', () => {
    const thawed: string[] = [];
    const walk = (value: unknown, path: string): void => {
      if (typeof value !== 'object' || value === null) return;
      if (!Object.isFrozen(value)) thawed.push(path);
      for (const [key, inner] of Object.entries(value)) walk(inner, `${path}/${key}`);
    };
    for (const [name, text] of fixtureSites('good')) walk(site(text), name);
    expect(thawed).toEqual([]);
  });
});
