/** Why a removal is worth making, or the chain is replaced instead. */
export type WearVerdict =
  | 'shorten'
  | 'shorten-and-order' // the chain is near its limit: a new one should be on its way
  | 'replace-limit-passed'
  | 'replace-limit-first'; // worn out before it has used the travel that this removal regains

export interface WearLeft {
  /** ε over the limit, 0…1 and beyond. */
  readonly shareOfLimit: number;
  /** Lengthening of the chain still to come before the limit, mm; 0 where it is passed. */
  readonly lengtheningLeftMm: number;
  readonly verdict: WearVerdict;
  /** How many more removals of the same length fall due before the limit. */
  readonly furtherShortenings: number;
}

export interface WearInput {
  /** n before the removal, and k. */
  readonly pitches: number;
  readonly removedPitches: number;
  readonly pitchMm: number;
  /** ε as a ratio. */
  readonly elongation: number;
  readonly limit: number;
  /** From here on a new chain should be on its way: the set-point of `wear-limit-near`, as a ratio. */
  readonly near: number;
}

/**
 * What wear leaves of the chain after a removal. A removal takes back k·p·(1+ε) of lengthening; the n − k pitches left have worn that
 * much again when ε has grown by k·(1+ε)/(n − k), and the next one of the same length falls due.
 */
export function wearLeft({ pitches, removedPitches, pitchMm, elongation, limit, near }: WearInput): WearLeft {
  let left = pitches - removedPitches;
  let worn = elongation;
  let due = 0;
  while (left > removedPitches) {
    worn += (removedPitches * (1 + worn)) / left;
    if (worn >= limit) break;
    due += 1;
    left -= removedPitches;
  }
  return {
    shareOfLimit: elongation / limit,
    lengtheningLeftMm: Math.max(0, limit - elongation) * pitches * pitchMm,
    verdict: verdictOf(elongation, limit, near, due),
    furtherShortenings: elongation >= limit ? 0 : due,
  };
}

function verdictOf(elongation: number, limit: number, near: number, due: number): WearVerdict {
  if (elongation >= limit) return 'replace-limit-passed';
  if (due === 0) return 'replace-limit-first';
  return elongation >= near ? 'shorten-and-order' : 'shorten';
}

/** Whether a verdict says to shorten. */
export function saysShorten(verdict: WearVerdict): boolean {
  return verdict === 'shorten' || verdict === 'shorten-and-order';
}
