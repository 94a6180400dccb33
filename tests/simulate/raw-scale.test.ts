import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { linearOf } from '../../agent/flow/sample/scale.js';
import type { Signal } from '../../agent/site/site.js';
import { RawScale } from '../../agent/simulate/raw-scale.js';

function signal(unit: Signal['unit'], scale?: Signal['scale']): Signal {
  const name = 'c/tu1/left/position';
  return { name, quantity: 'position', topic: name, unit, periodS: 1, lostAfterMs: 30_000, ...(scale ? { scale } : {}) };
}

/** Signals of every kind, and the step that each can tell apart, in engineering units. */
const SIGNALS: readonly (readonly [string, Signal, number])[] = [
  ['mm', signal('mm'), 0.1],
  ['cm', signal('cm'), 0.1],
  ['m', signal('m'), 0.5],
  ['inches', signal('in'), 0.1],
  ['°F', signal('F'), 0.1],
  ['ft/min', signal('ft/min'), 0.01],
  ['a current loop', signal('mA', { from: [4, 20], to: [0, 230] }), 0.05],
  ['a current loop turned round', signal('mA', { from: [4, 20], to: [230, 0] }), 0.05],
  ['volts with an offset', signal('V', { from: [0, 10], to: [-5, 300] }), 0.1],
  ['counts', signal('counts', { from: [0, 4095], to: [0, 300] }), 300 / 4095],
];

describe.each(SIGNALS)('a raw value in %s', (_, of, step) => {
  it('reads as the value it was made from, within half a step', () => {
    const scale = new RawScale(of, step);
    const { gain, offset } = linearOf(of);
    fc.assert(
      fc.property(fc.double({ min: -20, max: 400, noNaN: true }), (value) => {
        expect(Math.abs(offset + gain * scale.toRaw(value) - value)).toBeLessThanOrEqual(step / 2 + 1e-9);
      }),
    );
  });
});

describe('how a raw value is written', () => {
  it('has no more decimals than the sensor can tell apart', () => {
    expect(String(new RawScale(signal('mm'), 0.1).toRaw(40.26))).toBe('40.3');
    expect(String(new RawScale(signal('mm'), 0.05).toRaw(40.26))).toBe('40.25');
    expect(String(new RawScale(signal('mA', { from: [4, 20], to: [0, 230] }), 0.1).toRaw(115))).toBe('12');
  });

  it('is whole in counts', () => {
    expect(new RawScale(signal('counts', { from: [0, 4095], to: [0, 300] }), 0.001).toRaw(123.456)).toBe(1685);
  });
});
