import { elasticMm, nominalLengthMm } from '../flow/ledger/closure.js';
import type { Conveyor, Takeup } from '../site/site.js';
import { othersGiveMmPerN } from './other-takeups.js';
import type { TakeupState } from './takeup-state.js';

/**
 * Chain that comes to a take-up for every newton more of tension, mm/N: the chain's stretch where a stiffness is known, and what the other
 * take-ups let out. 0 where the springs are only taken for granted: then the tension is not known, nor by how much it changes.
 *
 * @param pitches - in the circuit when the tension changes
 */
export function chainGiveMmPerN(
  conveyor: Pick<Conveyor, 'chain' | 'takeups'>,
  takeup: Pick<Takeup, 'id'>,
  state: Pick<TakeupState, 'assumed'>,
  pitches: number,
): number {
  if (!springsKnown(state)) return 0;
  return elasticMm(conveyor.chain, nominalLengthMm(pitches, conveyor.chain), 1, 0) + othersGiveMmPerN(conveyor, takeup);
}

/** Whether the springs were measured or followed, and so tell the tension. */
export function springsKnown({ assumed }: Pick<TakeupState, 'assumed'>): boolean {
  return !assumed.includes('springs-as-set');
}
