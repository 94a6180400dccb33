/**
 * NAMUR NE 43 signal levels of a 4–20 mA loop: at or below 3.6 mA and at or above 21.0 mA the transmitter reports its own
 * failure; 3.8 to 20.5 mA is measurement; what lies between is neither, and is held as uncertain.
 */
export const NE43 = Object.freeze({ failLowMa: 3.6, measureLowMa: 3.8, measureHighMa: 20.5, failHighMa: 21.0 });

export type Ne43Band = 'failure' | 'uncertain' | 'measurement';

/** The NE 43 band a loop current lies in. @param milliamp - loop current in mA */
export function ne43Band(milliamp: number): Ne43Band {
  if (!(milliamp > NE43.failLowMa && milliamp < NE43.failHighMa)) return 'failure';
  return milliamp >= NE43.measureLowMa && milliamp <= NE43.measureHighMa ? 'measurement' : 'uncertain';
}
