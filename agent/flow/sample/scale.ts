import type { Signal, SignalUnit } from '../../site/site.js';

/** Engineering value = offset + gain · raw. */
export interface Linear {
  readonly gain: number;
  readonly offset: number;
}

const FROM_UNIT: Readonly<Partial<Record<SignalUnit, Linear>>> = {
  in: { gain: 25.4, offset: 0 }, // exact since 1959: the international inch
  cm: { gain: 10, offset: 0 },
  m: { gain: 1000, offset: 0 },
  F: { gain: 5 / 9, offset: -160 / 9 },
  'ft/min': { gain: 0.3048, offset: 0 },
};

/**
 * How a signal's raw value becomes mm, °C or m/min: by its two-point calibration where it has one, else by its unit.
 * With a calibration the raw unit plays no part: `scale.to` is in engineering units already.
 */
export function linearOf(signal: Pick<Signal, 'scale' | 'unit'>): Linear {
  if (signal.scale) {
    const [rawLow, rawHigh] = signal.scale.from;
    const [low, high] = signal.scale.to;
    const gain = (high - low) / (rawHigh - rawLow);
    return { gain, offset: low - gain * rawLow };
  }
  return FROM_UNIT[signal.unit] ?? { gain: 1, offset: 0 };
}
