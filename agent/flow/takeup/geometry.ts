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
