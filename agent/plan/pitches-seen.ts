import { wholePitches } from '../flow/finding/step-finding.js';
import { pitchesOfMove } from '../flow/ledger/closure.js';
import { carriagePerChainMm } from '../flow/takeup/travel.js';
import type { Chain, Conveyor } from '../site/site.js';

/** What a lasting move of a carriage stands for, heat taken off. */
export interface PitchesSeen {
  /** A whole number of repeats, positive for chain taken out; undefined where the move is none. */
  readonly whole: number | undefined;
  readonly exact: number;
}

/**
 * Pitches that a lasting move of a carriage stands for (mechanics §7).
 *
 * @param moveMm - positive outwards
 * @param elongation - ε of the chain as a ratio: a per cent of it is a per cent of a pitch, so that any near value does
 */
export function pitchesSeen(conveyor: Conveyor, takeup: string, moveMm: number, elongation: number): PitchesSeen {
  const index = conveyor.takeups.findIndex(({ id }) => id === takeup);
  const exact = pitchesOfMove(moveMm, conveyor.chain, elongation, carriagePerChainMm(conveyor, index));
  const whole = wholePitches(conveyor, index, moveMm, elongation);
  return { exact, whole: whole !== 0 || Math.abs(exact) <= 0.25 ? whole : undefined };
}

/** Within a quarter of a pitch of a whole number of repeats, that number is believed (mechanics §7). */
const QUARTER_PITCH = 0.25;

/**
 * Pitches that a length of chain stands for.
 *
 * @param chainMm - positive for chain that is gone
 * @param elongation - ε of the chain as a ratio
 */
export function pitchesOfChain({ pitchMm, repeatPitches }: Chain, chainMm: number, elongation: number): PitchesSeen {
  const exact = chainMm / (pitchMm * (1 + elongation));
  const nearest = Math.round(exact / repeatPitches) * repeatPitches;
  return { exact, whole: Math.abs(exact - nearest) <= QUARTER_PITCH ? nearest : undefined };
}
