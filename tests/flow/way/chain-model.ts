/**
 * Where a carriage stands, worked out from the closure of the path apart from the program:
 * n·p·(1+ε) + thermal + elastic = C + g·x, with C from the reference. Lengths in mm, forces in N, temperatures in °C.
 */
export interface ChainModel {
  readonly pitchMm: number;
  readonly gain: number;
  /** At the reference: pitches, elongation as a ratio, carriage position. */
  readonly reference: { readonly pitches: number; readonly elongation: number; readonly positionMm: number };
  /** Expansion of the chain beyond that of the track, 1/°C. */
  readonly expansion?: number;
  /** Springs and chain stiffness: with them the chain stretches. */
  readonly elastic?: { readonly stiffnessN: number; readonly rateNPerMm: number; readonly freeMm: number; readonly sides: number };
}

export interface ChainState {
  readonly pitches: number;
  readonly elongation: number;
  /** Σ length·(T − T_ref) over zones and the rest, mm·°C. */
  readonly heat?: number;
  /** Spring length at the carriage position that goes with it, as the nuts are set: the same on all sides. */
  readonly set?: { readonly positionMm: number; readonly springMm: number };
}

/** The nuts of the tests' site as set: 120 mm of compression at the reference. */
export const SET = { positionMm: 40, springMm: 200 };

/** Strand tension with the carriage at x, from springs that push with rate · compression. */
export function tensionAt(model: ChainModel, x: number, set = SET): number {
  if (model.elastic === undefined) return 0;
  const { rateNPerMm, freeMm, sides } = model.elastic;
  const lengthMm = set.springMm + x - set.positionMm;
  return (sides * rateNPerMm * Math.max(0, freeMm - lengthMm)) / model.gain;
}

/** The position for which the path closes, by bisection. */
export function carriageMm(model: ChainModel, state: ChainState): number {
  const { pitchMm, gain, reference } = model;
  const track = reference.pitches * pitchMm * (1 + reference.elongation) - gain * reference.positionMm;
  const tensionRef = tensionAt(model, reference.positionMm);
  const over = (x: number): number => {
    const nominal = state.pitches * pitchMm;
    const stretch = model.elastic ? ((tensionAt(model, x, state.set) - tensionRef) * nominal) / model.elastic.stiffnessN : 0;
    return track + gain * x - nominal * (1 + state.elongation) - (model.expansion ?? 0) * (state.heat ?? 0) - stretch;
  };
  let [low, high] = [-5000, 5000];
  for (let i = 0; i < 200; i++) {
    const middle = (low + high) / 2;
    if (over(middle) < 0) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
