import { linearOf } from '../flow/sample/scale.js';
import type { Signal } from '../site/site.js';

/** How near to a whole number of steps to a unit still is one: 1/0.1 is not quite 10 in binary. */
const WHOLE = 1e-6;

/**
 * Turns an engineering value into the raw value that reads as it: the signal's scale turned round, rounded to what the sensor can tell
 * apart, so that decoding and scaling give it back within half a step.
 */
export class RawScale {
  private readonly gain: number;
  private readonly offset: number;
  /** Raw steps to a raw unit. */
  private readonly perUnit: number;

  /** @param resolution - smallest step in engineering units, above 0 */
  constructor(signal: Signal, resolution: number) {
    const { gain, offset } = linearOf(signal);
    this.gain = gain;
    this.offset = offset;
    this.perUnit = signal.unit === 'counts' ? 1 : stepsPerUnit(Math.abs(gain) / resolution);
  }

  toRaw(value: number): number {
    return Math.round(((value - this.offset) / this.gain) * this.perUnit) / this.perUnit;
  }
}

/** So many steps to a raw unit that its decimals are few: as asked where that is whole, else the next power of ten above. */
function stepsPerUnit(asked: number): number {
  const whole = Math.round(asked);
  if (whole >= 1 && Math.abs(asked - whole) < WHOLE * asked) return whole;
  return 10 ** Math.max(0, Math.ceil(Math.log10(asked)));
}
