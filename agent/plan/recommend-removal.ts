import type { RemovalChoice } from './removal-choice.js';
import { saysShorten } from './wear-left.js';

/** Why one choice is put before the others. */
export type RecommendReason =
  'only-choice' | 'keeps-every-carrier' | 'fewest-carriers-off' | 'parts-at-connectors' | 'most-travel' | 'most-travel-still-low'; // and even so the carriage stays in the warning zone before the outer stop

export interface Recommended {
  readonly pitches: number;
  readonly reason: RecommendReason;
}

/** Why no choice is put before the others. */
export type NoRecommendation =
  | 'stopped' // no removal is possible
  | 'replace-chain' // worn out, or will be before it has used what the shortest removal regains
  | 'wear-limit-before-stroke'; // worn out before the carriage gets to the outer stop: no removal is called for

/**
 * The removal to recommend, of those that can be made and that the chain's wear still pays for.
 *
 * First those that bring the carriage out of the warning zone before the outer stop, where any does. Of these the fewest carriers off,
 * for a carrier taken off is missing from production for good; then, where there are connectors, no pin to be ground out; then the most
 * travel, for every stop of the line costs.
 *
 * @param strokeLowMm - remaining travel at which `stroke-low` is raised
 */
export function recommendRemoval(choices: readonly RemovalChoice[], strokeMm: number, strokeLowMm: number): Recommended | undefined {
  const fit = choices.filter(({ stops, wear }) => stops.length === 0 && saysShorten(wear.verdict));
  const clear = fit.filter(({ settlesAtMm }) => strokeMm - settlesAtMm > strokeLowMm);
  const longest = byTravel(fit)[0];
  if (longest === undefined) return undefined;
  if (clear.length === 0) return { pitches: longest.pitches, reason: fit.length === 1 ? 'only-choice' : 'most-travel-still-low' };

  const fewestOff = Math.min(...clear.map(carriersOff));
  const sparing = clear.filter((choice) => carriersOff(choice) === fewestOff);
  const whole = sparing.filter(({ parting }) => parting === 'at-connectors');
  const best = byTravel(whole.length > 0 ? whole : sparing)[0] ?? longest;
  return { pitches: best.pitches, reason: reasonFor(best, fit, sparing) };
}

function reasonFor(best: RemovalChoice, fit: readonly RemovalChoice[], sparing: readonly RemovalChoice[]): RecommendReason {
  if (fit.length === 1) return 'only-choice';
  if (best.carriers !== undefined && fit.some((choice) => carriersOff(choice) > carriersOff(best))) {
    return carriersOff(best) === 0 ? 'keeps-every-carrier' : 'fewest-carriers-off';
  }
  if (sparing.some(({ parting }) => parting !== best.parting)) return 'parts-at-connectors';
  return 'most-travel';
}

function carriersOff({ carriers }: RemovalChoice): number {
  return carriers?.off ?? 0;
}

function byTravel(choices: readonly RemovalChoice[]): readonly RemovalChoice[] {
  return [...choices].sort((one, other) => other.travelRegainedMm - one.travelRegainedMm);
}
