/**
 * Reeving gain of a curve on a carriage: mm of chain taken up per mm of carriage travel, g = 2·sin(θ/2).
 * Both strands of a wrap θ leave at θ/2 to the direction of travel: 180° gives 2, 120° √3, 90° √2, 60° 1.
 *
 * @param wrapDeg - wrap angle in degrees, above 0 and below 360
 */
export function reevingGain(wrapDeg: number): number {
  return 2 * Math.sin((wrapDeg * Math.PI) / 360);
}
