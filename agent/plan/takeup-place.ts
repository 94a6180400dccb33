import type { LoopNode, LoopWalk } from './loop-walk.js';

/** Whether the take-up stands at the lowest tension of the loop, or where that is instead. */
export type TakeupPlace =
  | { readonly place: 'at-lowest' }
  | {
      readonly place: 'lower-after-drive' | 'lower-at-foot-of-decline' | 'lower-elsewhere';
      readonly node: LoopNode;
      /** By how much the chain is slacker there than at the take-up, N. */
      readonly byN: number;
    };

/** Nearer than this, two places are alike: friction is not known any better. */
const ALIKE_SHARE = 0.01;
const ALIKE_N = 1;

/**
 * Whether the take-up stands where it should: at the lowest tension of the loop, so that what it takes up comes to it by itself. Common
 * practice (no published source): close after the drive, on its slack side; with a decline after the drive, at the foot of it.
 */
export function takeupPlace({ nodes, lowest }: LoopWalk): TakeupPlace {
  const entering = nodes.at(-1) as LoopNode;
  const byN = entering.tensionN - lowest.tensionN;
  if (byN <= Math.max(ALIKE_N, ALIKE_SHARE * Math.abs(entering.tensionN))) return { place: 'at-lowest' };
  if (lowest.place === 'drive-slack') return { place: 'lower-after-drive', node: lowest, byN };
  return { place: lowest.afterDecline ? 'lower-at-foot-of-decline' : 'lower-elsewhere', node: lowest, byN };
}
