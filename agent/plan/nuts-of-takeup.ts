import { elasticMm, nominalLengthMm } from '../flow/ledger/closure.js';
import type { Conveyor, Takeup } from '../site/site.js';
import { type NutPlan, type NutWish, planNuts } from './nut-plan.js';
import type { TakeupState } from './takeup-state.js';

/**
 * Turns of the adjusting nuts of a take-up as it stands, the chain left as it is. Springs that are only taken for granted tell no
 * tension, so then the chain's stretch under the new one is left out.
 */
export function nutsOfTakeup(conveyor: Pick<Conveyor, 'chain'>, takeup: Takeup, state: TakeupState, wish: NutWish): NutPlan {
  const { chain } = conveyor;
  const springsKnown = !state.assumed.includes('springs-as-set');
  return planNuts(
    {
      turn: takeup,
      sides: state.sides,
      leadMm: takeup.nutLeadMm,
      limits: chain,
      stretchMmPerN: springsKnown ? elasticMm(chain, nominalLengthMm(state.pitches, chain), 1, 0) : 0,
      chainOutMm: 0,
    },
    wish,
  );
}
