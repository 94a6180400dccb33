import { showText, type UnitSystem } from '../units/display.js';
import type { NutPlan, NutProblem, NutProblemAt } from './nut-plan.js';

/** What a setting of the nuts does not allow, a sentence each with what would help; what is alike on both sides is said once. */
export function nutProblemSentences(plan: Pick<NutPlan, 'problems' | 'mostUsableTensionN'>, system: UnitSystem): readonly string[] {
  const most = `these springs give ${showText('force', plan.mostUsableTensionN, system)} of strand tension at most`;
  return [...new Set(plan.problems.map(({ problem }) => problem))].map((problem) => {
    return `${sidesOf(problem, plan.problems)}${SENTENCES[problem].replace('{most}', most)}`;
  });
}

function sidesOf(problem: NutProblem, all: readonly NutProblemAt[]): string {
  const sides = all.flatMap((one) => (one.problem === problem && one.side !== undefined ? [one.side] : []));
  if (sides.length === 0) return '';
  if (sides.length > 1) return 'Both sides: ';
  return sides[0] === 'left' ? 'Left side: ' : 'Right side: ';
}

const SENTENCES: Readonly<Record<NutProblem, string>> = {
  'lead-not-known': 'The lead of the rod thread is not known: set the spring lengths with a rule, or enter nut_lead_mm in the site file.',
  'spring-solid': 'The coils would touch: {most}. Ask for less, or fit a stiffer or longer spring.',
  'below-shortest-usable':
    'The spring would be shorter than its shortest usable length: {most}. Ask for less, or fit a stiffer or longer spring.',
  'spring-free': 'The spring would be free and push with nothing: ask for more tension.',
  'below-least-tension': 'The tension asked for is below the least that the chain is to have: ask for more.',
  'above-most-tension': 'The tension asked for is above the most that the chain may have: ask for less.',
  'outer-stop': 'The carriage would be at its outer stop before this tension is reached: take chain out first, or ask for less.',
  'inner-stop': 'The carriage would be at its inner stop before the tension has come down so far: ask for more.',
};
