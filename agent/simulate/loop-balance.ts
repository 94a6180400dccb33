/**
 * Where the carriages of one chain come to rest: the path closes, n·p·(1+ε) + thermal + elastic = C + Σ gᵢ·xᵢ (mechanics §2), and at
 * each carriage the springs hold the strands, F(x) = T·g·(2+c)/2 (mechanics §1, §3). One tension T runs through the slack side.
 */

/** One side's springs: their rate together in N/mm, and where the carriage side stands when they are free, and solid. */
export interface SideSprings {
  readonly rateNPerMm: number;
  readonly freeAtMm: number;
  readonly solidAtMm: number;
}

/** One carriage between its stops. */
export interface Carriage {
  /** Reeving gain g. */
  readonly gain: number;
  /** c: the strand leaves the turn at (1 + c) times the tension it enters with. */
  readonly turnFriction: number;
  readonly strokeMm: number;
  /** Left less right. */
  readonly skewMm: number;
  readonly left: SideSprings;
  readonly right: SideSprings;
  /** Where seized guides hold it; undefined where it is free to move. */
  readonly heldMm: number | undefined;
}

/** What the chain asks of its carriages. */
export interface ChainDemand {
  /** n·p·(1+ε) + thermal − C: chain to be taken up at the reference tension. */
  readonly slackMm: number;
  /** n·p/(EA) in mm/N; 0 where the chain does not stretch. */
  readonly stretchMmPerN: number;
  readonly referenceTensionN: number;
}

export interface LoopBalance {
  /** Mean position of each carriage, mm from the inner stop. */
  readonly positionsMm: readonly number[];
  /** Strand tension; where stops or solid coils bear, that of the springs alone is in `springTensionN`. */
  readonly tensionN: number;
}

/** Rounding leaves so little of chain open. */
const CLOSED_MM = 1e-9;
const MOST_STEPS = 80;

/** Furthest in and out that a carriage can stand: at a stop with its nearer side, or with coils touching on one side. */
export function travelOf({ strokeMm, skewMm, left, right }: Carriage): { readonly innerMm: number; readonly outerMm: number } {
  const half = Math.abs(skewMm) / 2;
  const outerMm = strokeMm - half;
  const solidMm = Math.max(left.solidAtMm - skewMm / 2, right.solidAtMm + skewMm / 2);
  return { innerMm: Math.min(outerMm, Math.max(half, solidMm)), outerMm };
}

/** Carriage force in N with the carriage's mean at x: each side R·c, nothing where a spring is free. */
export function carriageForceN({ left, right, skewMm }: Carriage, xMm: number): number {
  return (
    left.rateNPerMm * Math.max(0, left.freeAtMm - xMm - skewMm / 2) + right.rateNPerMm * Math.max(0, right.freeAtMm - xMm + skewMm / 2)
  );
}

/** Strand tension that a carriage force holds: 2F/(g(2+c)) (mechanics §1). */
export function tensionOfForceN({ gain, turnFriction }: Carriage, forceN: number): number {
  return (2 * forceN) / (gain * (2 + turnFriction));
}

/** A carriage that the springs alone hold at a strand tension, and how far it gives per N. */
interface Rest {
  xMm: number;
  giveMmPerN: number;
}

/** Where the springs hold a tension, between the ends of travel: `carriageForceN` turned round, one straight piece at a time. */
function restAt(carriage: Carriage, tensionN: number, rest: Rest): void {
  const { gain, turnFriction, skewMm, left, right, heldMm } = carriage;
  const forcePerTension = (gain * (2 + turnFriction)) / 2;
  const forceN = tensionN * forcePerTension;
  const [leftFreeMm, rightFreeMm] = [left.freeAtMm - skewMm / 2, right.freeAtMm + skewMm / 2];
  const leftFirst = leftFreeMm <= rightFreeMm;
  const [firstMm, lastMm] = leftFirst ? [leftFreeMm, rightFreeMm] : [rightFreeMm, leftFreeMm];
  const [firstRate, lastRate] = leftFirst ? [left.rateNPerMm, right.rateNPerMm] : [right.rateNPerMm, left.rateNPerMm];
  const alone = forceN < lastRate * (lastMm - firstMm);
  const rate = alone ? lastRate : firstRate + lastRate;
  const xMm = alone ? lastMm - forceN / lastRate : rate > 0 ? (firstRate * firstMm + lastRate * lastMm - forceN) / rate : Infinity;
  const { innerMm, outerMm } = travelOf(carriage);
  rest.xMm = heldMm ?? Math.min(outerMm, Math.max(innerMm, xMm));
  rest.giveMmPerN = rest.xMm === xMm && heldMm === undefined ? forcePerTension / rate : 0;
}

/**
 * Solves closure and springs together for the tension, by Newton's method on a falling curve of straight pieces, kept between bounds.
 * Chain that is too long for free springs hangs slack: no tension, carriages where their springs end. Chain that is too short for
 * carriages at their inner ends stretches, or, where it cannot, leaves them there.
 */
export function balance(carriages: readonly Carriage[], demand: ChainDemand): LoopBalance {
  const { slackMm, stretchMmPerN, referenceTensionN } = demand;
  const rest: Rest = { xMm: 0, giveMmPerN: 0 };
  let give = 0;
  /** Chain that the carriages take up beyond what there is: falls as the tension grows. */
  const surplus = (tensionN: number): number => {
    let sum = -slackMm - (tensionN - referenceTensionN) * stretchMmPerN;
    give = stretchMmPerN;
    for (const carriage of carriages) {
      restAt(carriage, tensionN, rest);
      sum += carriage.gain * rest.xMm;
      give += carriage.gain * rest.giveMmPerN;
    }
    return sum;
  };
  const tensionN = findTension(surplus, () => give, mostTension(carriages, demand), referenceTensionN);
  return {
    tensionN,
    positionsMm: carriages.map((carriage) => {
      restAt(carriage, tensionN, rest);
      return rest.xMm;
    }),
  };
}

/** No tension can be higher: every carriage stands at its inner end, and the chain is stretched over what is missing. */
function mostTension(carriages: readonly Carriage[], { slackMm, stretchMmPerN, referenceTensionN }: ChainDemand): number {
  let innermost = 0;
  let missing = -slackMm;
  for (const carriage of carriages) {
    const { innerMm } = travelOf(carriage);
    missing += carriage.gain * (carriage.heldMm ?? innerMm);
    if (carriage.heldMm === undefined) innermost = Math.max(innermost, tensionOfForceN(carriage, carriageForceN(carriage, innerMm)));
  }
  return stretchMmPerN > 0 ? Math.max(innermost, referenceTensionN + missing / stretchMmPerN) : innermost;
}

function findTension(surplus: (tensionN: number) => number, give: () => number, most: number, first: number): number {
  if (surplus(0) <= 0) return 0;
  if (surplus(most) >= 0) return most;
  let [low, high] = [0, most];
  let tensionN = Math.min(Math.max(first, low), high);
  for (let step = 0; step < MOST_STEPS; step++) {
    const open = surplus(tensionN);
    if (Math.abs(open) <= CLOSED_MM) break;
    if (open > 0) low = tensionN;
    else high = tensionN;
    const next = tensionN + open / give();
    tensionN = next > low && next < high ? next : (low + high) / 2;
    if (high - low <= 1e-12 * high) break;
  }
  return tensionN;
}
