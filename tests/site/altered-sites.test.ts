import { describe, expect, it, test } from 'vitest';
import { readSite } from '../../agent/site/read-site.js';
import { goodSite } from './fixture-files.js';

const FULL = goodSite('full');
const LEFT = 'conveyors[0].takeups[0].sides.left';

/** What is told of the full site when one piece of its text is replaced: rule, key and what was meant. */
function told(from: string, to: string): readonly (readonly [string, string, string?])[] {
  if (!FULL.includes(from)) throw new Error(`the full site has no "${from}"`);
  const reading = readSite(FULL.replace(from, to), 'site.yaml');
  return (reading.ok ? reading.warnings : reading.faults).map(({ rule, key, meant }) =>
    meant === undefined ? [rule, key] : [rule, key, meant],
  );
}

describe('a key that does not exist', () => {
  test.each([
    ['stroke_mm: 230', 'stroke: 230', 'conveyors[0].takeups[0].stroke', 'stroke_mm'],
    ['stroke_mm: 230', 'strokeMm: 230', 'conveyors[0].takeups[0].strokeMm', 'stroke_mm'],
    ['pitch_mm: 76.2', 'pitch_in: 3', 'conveyors[0].chain.pitch_in', 'pitch_mm'],
    ['spring_mm: 250 } }\n', 'srping_mm: 250 } }\n', `${LEFT}.set.srping_mm`, 'spring_mm'],
    ['takeups:', 'take_ups:', 'conveyors[0].take_ups', 'takeups'],
    ['stroke-low:', 'stroke-lo:', 'conveyors[0].takeups[0].limits.stroke-lo', 'stroke-low'],
    ['{ remaining_mm: 60 }', '{ remaining: 60 }', 'conveyors[0].takeups[0].limits.stroke-low.remaining', 'remaining_mm'],
    [
      '- straight: { length_mm: 60000, rise_mm: -2500',
      '- strait: { length_mm: 60000, rise_mm: -2500',
      'conveyors[0].path[0].strait',
      'straight',
    ],
  ])('%s written as %s is met with the right name, and the missing key is not told again', (from, to, key, meant) => {
    expect(told(from, to)).toEqual([['unknown-key', key, meant]]);
  });

  it('is told its home where it stands at the wrong depth', () => {
    const reading = readSite(FULL.replace('    drive: { reversing: false }', '    stroke_mm: 230'), 'site.yaml');
    expect(reading.ok ? [] : reading.faults.map(({ message }) => message)).toEqual([
      'there is no such key here; it belongs in conveyors[].takeups[]',
    ]);
  });

  it('is refused for an alarm that belongs to no take-up', () => {
    expect(told('signal-lost: { off_delay_s: 5 }', 'agent-silent: { on_delay_s: 60 }')).toEqual([
      ['unknown-key', 'conveyors[0].takeups[0].limits.agent-silent'],
    ]);
  });

  it('is refused for a field of another alarm', () => {
    expect(told('carriage-skew: { skew_mm: 12', 'carriage-skew: { remaining_mm: 12').map(([rule]) => rule)).toEqual(['unknown-key']);
  });
});

describe('a value of the wrong kind', () => {
  test.each([
    ['stroke_mm: 230', 'stroke_mm: 230 mm', 'conveyors[0].takeups[0].stroke_mm', '230'],
    ['stroke_mm: 230', 'stroke_mm: "230"', 'conveyors[0].takeups[0].stroke_mm', '230'],
    ['reversing: false', 'reversing: no', 'conveyors[0].drive.reversing', 'false'],
    ['id: enamel', 'id: 12', 'conveyors[0].id', '"12"'],
  ])('%s written as %s is told with what was meant', (from, to, key, meant) => {
    expect(told(from, to)).toEqual([['wrong-type', key, meant]]);
  });

  test.each([
    ['stroke_mm: 230', 'stroke_mm: 9 in', 'conveyors[0].takeups[0].stroke_mm'],
    ['stroke_mm: 230', 'stroke_mm: .inf', 'conveyors[0].takeups[0].stroke_mm'],
    ['stroke_mm: 230', 'stroke_mm:', 'conveyors[0].takeups[0].stroke_mm'],
    ['running: {}', 'running:', 'conveyors[0].signals.running'],
    ['speed: { unit: m/min }', 'speed: { valid: [1] }', 'conveyors[0].signals.speed.valid'],
    ['speed: { unit: m/min }', 'speed: { valid: [1, 2, 3] }', 'conveyors[0].signals.speed.valid'],
    ['speed: { unit: m/min }', 'speed: { scale: [4, 20] }', 'conveyors[0].signals.speed.scale'],
    ['- drive: {}', '- drive', 'conveyors[0].path[3]'],
    ['stroke-low: { remaining_mm: 60 }', 'stroke-low: 60', 'conveyors[0].takeups[0].limits.stroke-low'],
    ['stroke-low: { remaining_mm: 60 }', 'stroke-low: { remaining_mm: low }', 'conveyors[0].takeups[0].limits.stroke-low.remaining_mm'],
  ])('%s written as %s is told without a guess', (from, to, key) => {
    expect(told(from, to)).toEqual([['wrong-type', key]]);
  });

  test.each([
    ['unit: m/min', 'unit: mpm', 'm/min'],
    ['unit: m/min', 'unit: fpm', 'ft/min'],
    ['unit: m/min', 'unit: M/MIN', 'm/min'],
    ['speed: { unit: m/min }', 'speed: { unit: "%" }', 'percent'],
  ])('%s written as %s is told the unit that was meant', (from, to, meant) => {
    expect(told(from, to)).toEqual([['unknown-value', 'conveyors[0].signals.speed.unit', meant]]);
  });

  test.each([
    ['priority: hihg', 'unknown-value', 'high'],
    ['priority: critical', 'unknown-value', undefined],
    ['action: ""', 'empty-text', undefined],
    ['respond_within_min: 2.5', 'not-whole', undefined],
    ['respond_within_min: 0', 'out-of-range', undefined],
    ['latch: yes', 'wrong-type', 'true'],
  ])('%s is no way to describe an alarm', (written, rule, meant) => {
    const key = `conveyors[0].takeups[0].limits.stroke-low.${String(written.split(':')[0])}`;
    expect(told('{ remaining_mm: 60 }', `{ remaining_mm: 60, ${written} }`)).toEqual([
      meant === undefined ? [rule, key] : [rule, key, meant],
    ]);
  });
});

describe('a figure that cannot be', () => {
  test.each([
    ['pitch_mm: 76.2', 'pitch_mm: -76.2', 'not-positive', 'conveyors[0].chain.pitch_mm'],
    ['pitches: 3200', 'pitches: 0', 'out-of-range', 'conveyors[0].chain.pitches'],
    ['repeat_pitches: 2', 'repeat_pitches: 0', 'out-of-range', 'conveyors[0].chain.repeat_pitches'],
    ['connector_every_pitches: 40', 'connector_every_pitches: 4000', 'longer-than-chain', 'conveyors[0].chain.connector_every_pitches'],
    ['wrap_deg: 180', 'wrap_deg: 0', 'out-of-range', 'conveyors[0].takeups[0].wrap_deg'],
    ['wrap_deg: 180', 'wrap_deg: 361', 'out-of-range', 'conveyors[0].takeups[0].wrap_deg'],
    ['max_tension_n: 4000', 'max_tension_n: 250', 'tension-order', 'conveyors[0].chain.max_tension_n'],
    ['lag_s: 0', 'lag_s: -1', 'out-of-range', 'conveyors[0].zones[0].lag_s'],
    ['length_mm: 60000, reference_c', 'length_mm: 260000, reference_c', 'zones-longer-than-chain', 'conveyors[0].zones'],
    ['rise_mm: -2500', 'rise_mm: -60001', 'rise-over-length', 'conveyors[0].path[0].straight.rise_mm'],
    ['- drive: {}', '- { drive: {}, curve: { angle_deg: 90 } }', 'either-or', 'conveyors[0].path[3].drive'],
    ['- drive: {}', '- {}', 'either-or', 'conveyors[0].path[3]'],
    ['solid_mm: 150', 'solid_mm: 400', 'spring-solid', 'conveyors[0].takeups[0].spring.solid_mm'],
    ['clearance_mm: 12', 'clearance_mm: 200', 'spring-clearance', 'conveyors[0].takeups[0].spring.clearance_mm'],
    [
      '{ free_mm: 320, rate_n_per_mm: 18, solid_mm: 150, clearance_mm: 12, per_side: 1 }',
      '{ free_mm: 320 }',
      'either-or',
      'conveyors[0].takeups[0].spring',
    ],
    ['per_side: 1', 'per_side: 1.5', 'not-whole', 'conveyors[0].takeups[0].spring.per_side'],
    [
      'z, position_mm: 40 }\n'.replace('z', 'Z'),
      'Z, position_mm: 231 }\n',
      'reference-outside-stroke',
      'conveyors[0].takeups[0].reference.position_mm',
    ],
    ['position_mm: 40, spring_mm: 250', 'position_mm: 40, spring_mm: 321', 'set-spring-outside', `${LEFT}.set.spring_mm`],
    [
      'at: 2026-01-05T06:00:00Z, position_mm: 40 }',
      'at: 2026-02-30T06:00:00Z, position_mm: 40 }',
      'bad-time',
      'conveyors[0].takeups[0].reference.at',
    ],
    ['left: { position: {}', 'left: { position: { period_s: 0 }', 'not-positive', `${LEFT}.position.period_s`],
  ])('%s written as %s is refused', (from, to, rule, key) => {
    expect(told(from, to)).toEqual([[rule, key]]);
  });

  it('is refused for a spring whose solid length follows from its wire', () => {
    const wire = '{ free_mm: 150, wire_mm: 16, mean_diameter_mm: 80, active_coils: 8, total_coils: 10, ends: ground }';
    expect(told('{ free_mm: 320, rate_n_per_mm: 18, solid_mm: 150, clearance_mm: 12, per_side: 1 }', wire)).toEqual([
      ['spring-solid', 'conveyors[0].takeups[0].spring.free_mm'],
    ]);
  });

  it('is refused for a wire thicker than the coil it makes', () => {
    const wire = '{ free_mm: 320, wire_mm: 16, mean_diameter_mm: 16, active_coils: 8, total_coils: 10, ends: ground }';
    expect(told('{ free_mm: 320, rate_n_per_mm: 18, solid_mm: 150, clearance_mm: 12, per_side: 1 }', wire)).toEqual([
      ['spring-coils', 'conveyors[0].takeups[0].spring.mean_diameter_mm'],
    ]);
  });
});

describe('a signal that cannot be read', () => {
  const POSITION = 'left: { position: {}';
  test.each([
    ['{ unit: F }', 'unit-misfit', 'unit'],
    ['{ unit: m/min }', 'unit-misfit', 'unit'],
    ['{ unit: counts }', 'scale-missing', 'unit'],
    ['{ unit: V, scale: { from: [0, 10], to: [5, 5] } }', 'scale-flat', 'scale.to'],
    ['{ valid: [5, 5] }', 'valid-order', 'valid'],
    ['{ topic: "" }', 'bad-topic', 'topic'],
    ['{ topic: "a/#" }', 'bad-topic', 'topic'],
    ['{ topic: $share/group/a }', 'bad-topic', 'topic'],
    ['{ topic: takeline/alder-point/out/enamel/tu1/now }', 'bad-topic', 'topic'],
    ['{ pointer: /a/~2 }', 'bad-pointer', 'pointer'],
    ['{ time_pointer: time }', 'bad-pointer', 'time_pointer'],
  ])('a position of %s is refused', (signal, rule, key) => {
    expect(told(POSITION, `left: { position: ${signal}`)).toEqual([[rule, `${LEFT}.position.${key}`]]);
  });

  it('is refused where running is given a unit, for it is a state', () => {
    expect(told('running: {}', 'running: { unit: V }')).toEqual([['unit-misfit', 'conveyors[0].signals.running.unit']]);
  });

  it('is refused where a topic written out is the default topic of another signal', () => {
    expect(told(POSITION, 'left: { position: { topic: takeline/alder-point/in/enamel/speed }')).toEqual([
      ['signal-doubled', `${LEFT}.position.topic`],
    ]);
  });

  it('is accepted where two signals share a topic and not a pointer', () => {
    expect(told(POSITION, 'left: { position: { topic: plant/enamel/tu1, pointer: /left/travel }')).toEqual([]);
  });
});

describe('a zone or take-up', () => {
  it('cannot share its id with another of the same conveyor', () => {
    expect(told('id: furnace', 'id: tu1')).toEqual([['repeated-id', 'conveyors[0].takeups[0].id']]);
  });
});

describe('a file with many faults', () => {
  it('is told all of them at once, in the order of the file', () => {
    const text = FULL.replace('Europe/Oslo', 'Europe/Olso')
      .replace('pitch_mm: 76.2', 'pich_mm: 76.2')
      .replace('repeat_pitches: 2', 'repeat_pitches: 4000')
      .replace('reversing: false', 'reversing: maybe')
      .replace('wrap_deg: 180', 'wrap_deg: 0')
      .replace('stroke_mm: 230', 'stroke_mm: 20')
      .replace('solid_mm: 150', 'solid_mm: 400')
      .replace('unit: m/min', 'unit: mm')
      .replace('period_s: 2', 'period_s: 0')
      .replace('skew_mm: 12', 'skew: 12')
      .replace('nut_lead_mm: 3.0', 'nut_lead_mm: 3.0\n        nut_lead_mm: 4.0');
    const reading = readSite(text, 'site.yaml');
    const faults = reading.ok ? [] : reading.faults;
    expect(faults.map(({ rule }) => rule)).toEqual([
      'unknown-time-zone',
      'unknown-key',
      'longer-than-chain',
      'wrong-type',
      'unit-misfit',
      'out-of-range',
      'spring-solid',
      'duplicate-key',
      'reference-outside-stroke',
      'set-outside-stroke',
      'not-positive',
      'set-outside-stroke',
      'unknown-key',
    ]);
    expect(faults.map(({ line }) => line)).toEqual(faults.map(({ line }) => line).toSorted((a, b) => a - b));
  });
});
