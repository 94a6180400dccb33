import type { CarrierChange } from './carrier-gap.js';

/** A limit that does not allow a removal. */
export type RemovalStop =
  | 'inner-reserve' // the carriage would come to stand too near to the inner stop
  | 'draw-in' // the carriage cannot be drawn in far enough to part the chain
  | 'carrier-spacing' // a carrier would have to come off, and every one is to stay
  | 'carriers-run-out' // more carriers would have to come off than there are
  | 'chain-runs-out'; // as much as the whole chain

/** How far the carriage must be drawn in before the chain can be parted, mm of carriage. */
export interface DrawIn {
  /** k·p·(1+ε)/g: the chain that comes out. */
  readonly forChainMm: number;
  /** Chain to handle the ends with, over g. */
  readonly forSlackMm: number;
  /** What the chain shrinks by when its tension is let go, over g; 0 where no stiffness is known. */
  readonly forStretchMm: number;
  readonly neededMm: number;
  /** From where the carriage will stand at the work, cold, to the inner stop. */
  readonly availableMm: number;
}

/** What helps where a limit stops every removal. */
export type RemovalHelp =
  | { readonly help: 'wait-until-position'; readonly positionMm: number; readonly days: number | undefined }
  | { readonly help: 'handle-with-less-slack'; readonly slackMm: number }
  | { readonly help: 'take-carriers-off'; readonly off: number }
  | { readonly help: 'take-out-in-places'; readonly places: number }
  | { readonly help: 'stroke-too-short-for-repeat'; readonly neededMm: number; readonly strokeMm: number }
  | { readonly help: 'turn-the-nuts' }
  | { readonly help: 'replace-the-chain' };

/** Why no removal is possible: the first limit that stops the shortest one, and what would help. */
export interface Stopped {
  readonly limit: RemovalStop;
  readonly help: readonly RemovalHelp[];
}

/** What the limits are judged by. */
export interface StopInput {
  readonly carriageAfterMm: number;
  readonly inwardExcessMm: number;
  readonly drawIn: DrawIn;
  readonly carriers: CarrierChange | undefined;
  readonly carriersOnChain: number;
  readonly keepEveryCarrier: boolean;
  readonly pitchesLeft: number;
}

/** Guards a carriage that comes to stand exactly at its reserve against the last binary digit. */
const SLIVER_MM = 1e-9;

/** Every limit that does not allow a removal; none where it can be made. */
export function stopsOf(input: StopInput): readonly RemovalStop[] {
  const { carriers, drawIn } = input;
  const stops: RemovalStop[] = [];
  if (input.pitchesLeft <= 0) stops.push('chain-runs-out');
  if (input.carriageAfterMm < input.inwardExcessMm - SLIVER_MM) stops.push('inner-reserve');
  if (drawIn.neededMm > drawIn.availableMm + SLIVER_MM) stops.push('draw-in');
  if (carriers !== undefined && carriers.off > 0 && input.keepEveryCarrier) stops.push('carrier-spacing');
  if (carriers !== undefined && carriers.off >= input.carriersOnChain) stops.push('carriers-run-out');
  return stops;
}
