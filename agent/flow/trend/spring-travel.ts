/** The springs of a take-up as they are set, and what they must not fall below. */
export interface SpringReserve {
  /** Compression of each side's springs. NaN where not known. */
  readonly compressionMm: { readonly left: number; readonly right: number };
  /** The `spring-slack` limit of the take-up: 10 % of (free − solid) unless the site says otherwise. */
  readonly slackCompressionMm: number;
  /** F, both sides together. */
  readonly carriageForceN: number;
  readonly springRateNPerMm: number;
  readonly gain: number;
  /** c of the turn: the entering strand carries 2F/(g(2+c)). */
  readonly turnFriction: number;
  /** The chain's least tension, where one is given. */
  readonly minTensionN: number | undefined;
}

/**
 * How far the carriage can still move out, with nobody turning nuts, before a side's springs are slack or the strand tension is the
 * least the chain may have, whichever is nearer; negative where it is past that. NaN where a compression is not known.
 *
 * A side's compression falls by a mm per mm of carriage, the carriage force by K.
 */
export function travelToSlackMm(springs: SpringReserve): number {
  const toSlack = Math.min(springs.compressionMm.left, springs.compressionMm.right) - springs.slackCompressionMm;
  if (springs.minTensionN === undefined) return toSlack;
  const leastForceN = (springs.minTensionN * springs.gain * (2 + springs.turnFriction)) / 2;
  return Math.min(toSlack, (springs.carriageForceN - leastForceN) / springs.springRateNPerMm);
}
