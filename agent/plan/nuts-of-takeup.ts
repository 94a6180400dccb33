import type { Conveyor, Takeup } from '../site/site.js';
import { chainGiveMmPerN } from './chain-give.js';
import { type NutPlan, type NutWish, planNuts } from './nut-plan.js';
import { type OtherMove, otherMoves } from './other-takeups.js';
import type { TakeupState } from './takeup-state.js';

/** A setting of the nuts, and what it does to the other take-ups of the chain. */
export interface TakeupNuts extends NutPlan {
  readonly others: readonly OtherMove[];
}

/** Turns of the adjusting nuts of a take-up as it stands, the chain left as it is. */
export function nutsOfTakeup(conveyor: Pick<Conveyor, 'chain' | 'takeups'>, takeup: Takeup, state: TakeupState, wish: NutWish): TakeupNuts {
  const plan = planNuts(
    {
      turn: takeup,
      sides: state.sides,
      leadMm: takeup.nutLeadMm,
      limits: conveyor.chain,
      giveMmPerN: chainGiveMmPerN(conveyor, takeup, state, state.pitches),
      chainOutMm: 0,
      positionMm: state.positionMm,
      strokeMm: takeup.strokeMm,
    },
    wish,
  );
  return { ...plan, others: otherMoves(conveyor, takeup, plan.tensionAfterN - plan.tensionBeforeN) };
}
