import type { RemovalChoice } from '../../../agent/plan/removal-choice.js';
import type { RemovalPlan } from '../../../agent/plan/removal-plan.js';
import { pitchesText } from '../../../agent/plan/removal-words.js';
import { showText, type UnitSystem } from '../../../agent/units/display.js';

/**
 * What a plan comes to, plainly: shorten and by how much, replace, or neither.
 *
 * @param chosen - the recommended removal, where there is one
 */
export function headlineOf(
  { notRecommended }: Pick<RemovalPlan, 'notRecommended'>,
  chosen: Pick<RemovalChoice, 'pitches' | 'nominalMm' | 'wear'> | undefined,
  system: UnitSystem,
): string {
  if (chosen !== undefined) {
    const order = chosen.wear.verdict === 'shorten-and-order' ? ', and order a new chain' : '';
    return `Shorten: take out ${pitchesText(chosen.pitches)}, ${showText('travel', chosen.nominalMm, system)}${order}`;
  }
  switch (notRecommended) {
    case 'replace-chain':
      return 'Replace the chain, do not shorten it';
    case 'wear-limit-before-stroke':
      return 'Do not shorten: plan a new chain';
    case 'stopped':
    case undefined:
      return 'No removal can be made now';
  }
}
