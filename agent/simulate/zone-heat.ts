/** Temperatures of one zone in °C: the one that is measured, and the chain's, which follows it. */
export interface ZoneHeat {
  readonly airC: number;
  readonly chainC: number;
}

/** Time constants closer than this share of one another count as equal: their difference would be divided by. */
const NEARLY_EQUAL = 1e-6;

/**
 * A zone after so many seconds of heading for a temperature: the zone by a first-order lag, the chain after it by another (two lags in a
 * row, solved exactly, so that the result does not hang on how time is cut).
 *
 * @param tauS - the zone's time constant, above 0
 * @param lagS - the chain's; 0: it has the zone's temperature
 */
export function zoneAfter({ airC, chainC }: ZoneHeat, targetC: number, seconds: number, tauS: number, lagS: number): ZoneHeat {
  const air = targetC + (airC - targetC) * Math.exp(-seconds / tauS);
  if (lagS <= 0) return { airC: air, chainC: air };
  const decay = Math.exp(-seconds / lagS);
  const apart = tauS - lagS;
  if (Math.abs(apart) <= NEARLY_EQUAL * tauS) {
    return { airC: air, chainC: targetC + (chainC - targetC + ((airC - targetC) * seconds) / tauS) * decay };
  }
  const driven = ((airC - targetC) * tauS) / apart;
  return { airC: air, chainC: targetC + (chainC - targetC - driven) * decay + driven * Math.exp(-seconds / tauS) };
}
