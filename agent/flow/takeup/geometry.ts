/**
 * Reeving gain of a curve on a carriage: mm of chain taken up per mm of carriage travel, g = 2·sin(θ/2).
 * Derivation: both strands of a wrap θ leave at θ/2 to the direction of travel. 180° gives 2, 120° √3, 90° √2, 60° 1.
 * @param wrapDeg - wrap angle in degrees, above 0 and up to 360
 */
export function reevingGain(wrapDeg: number): number {
  return 2 * Math.sin((wrapDeg * Math.PI) / 360);
}

/** Chain taken up by a move of the carriage, in mm. */
export function chainTakenUpMm(moveMm: number, gain: number): number {
  return gain * moveMm;
}

/**
 * Tension of the strand that enters the turn, from the carriage force: 2F / (g·(2 + c)), F / g without turn friction.
 * Derivation: the leaving strand carries (1 + c) times the entering one, and their pull along the travel balances F.
 * @param carriageForceN - N, the sum of both sides
 * @param turnFriction - c, 0 for a free-turning curve
 */
export function strandTensionN(carriageForceN: number, gain: number, turnFriction: number): number {
  return (2 * carriageForceN) / (gain * (2 + turnFriction));
}
