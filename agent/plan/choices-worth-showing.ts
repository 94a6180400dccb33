import type { RemovalChoice } from './removal-choice.js';
import type { RemovalPlan } from './removal-plan.js';

/**
 * The choices to set side by side where there are more than fit: the recommended one, the longest that keeps every carrier, the
 * longest and the shortest that can be made, the one that cannot, and of the rest as many as there is room for, spread evenly.
 *
 * @param most - at least 5
 */
export function choicesWorthShowing({ choices, recommended, longestKeepingCarriers }: RemovalPlan, most: number): readonly RemovalChoice[] {
  if (choices.length <= most) return choices;
  const possible = choices.filter(({ stops }) => stops.length === 0);
  const marked = new Set([
    possible[0]?.pitches,
    possible.at(-1)?.pitches,
    recommended?.pitches,
    possible.findLast(({ pitches }) => pitches <= (longestKeepingCarriers ?? 0))?.pitches,
    choices.at(-1)?.pitches,
  ]);
  const rest = choices.filter(({ pitches }) => !marked.has(pitches));
  const room = most - choices.filter(({ pitches }) => marked.has(pitches)).length;
  for (let i = 0; i < room; i++) marked.add(rest[Math.floor(((i + 0.5) * rest.length) / room)]?.pitches);
  return choices.filter(({ pitches }) => marked.has(pitches));
}
