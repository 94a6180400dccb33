import { showText, type UnitSystem } from '../units/display.js';
import type { InwardExcess } from './inward-excess.js';
import type { CardFact } from './job-card.js';
import type { OtherMove } from './other-takeups.js';
import type { NoRecommendation, RecommendReason } from './recommend-removal.js';
import type { Parting, RemovalChoice } from './removal-choice.js';
import type { RemovalPlan } from './removal-plan.js';
import type { RemovalHelp, RemovalStop } from './removal-stop.js';
import type { WearVerdict } from './wear-left.js';

/** What a removal plan says, in words: one table for command line, pages and job card. */

/** Less is not shown: half of the last figure of a millimetre. */
const SHOWN_MM = 0.05;

const RECOMMEND_SENTENCES: Readonly<Record<RecommendReason, string>> = {
  'only-choice': 'it is the only removal that can be made',
  'keeps-every-carrier': 'it keeps every carrier on the chain, and a longer one would not',
  'fewest-carriers-off': 'it takes the fewest carriers off, and of those regains the most travel',
  'parts-at-connectors': 'it is parted at connectors at both ends, so that no pin has to be ground out',
  'most-travel': 'it regains the most travel of those that can be made',
  'most-travel-still-low': 'it regains the most travel, although the carriage stays within the warning before the outer stop',
};

const NO_RECOMMENDATION_SENTENCES: Readonly<Record<NoRecommendation, string>> = {
  stopped: 'No removal can be made as the take-up stands now.',
  'replace-chain': 'Replace the chain, do not shorten it again.',
  'wear-limit-before-stroke':
    'No removal is called for: the chain reaches its wear limit before the carriage reaches the outer stop. Plan the replacement, and turn the nuts meanwhile.',
};

export const WEAR_WORDS: Readonly<Record<WearVerdict, string>> = {
  shorten: 'shorten',
  'shorten-and-order': 'shorten, and order a new chain',
  'replace-limit-passed': 'replace: worn out',
  'replace-limit-first': 'replace: soon worn out',
};

export const PARTING_WORDS: Readonly<Record<Parting, string>> = {
  'any-joint': 'any two joints',
  'at-connectors': 'two connectors',
  'one-pin-out': 'a connector and a pin',
};

export const STOP_WORDS: Readonly<Record<RemovalStop, string>> = {
  'inner-reserve': 'no: too near the inner stop',
  'draw-in': 'no: cannot be drawn in so far',
  'carrier-spacing': 'no: a carrier must stay',
  'carriers-run-out': 'no: too few carriers',
  'chain-runs-out': 'no: the whole chain',
};

/** What a whole plan says: the recommended removal with its reason, or why there is none; what stops them and what would help. */
export function removalSentences(plan: RemovalPlan, system: UnitSystem): readonly string[] {
  const { recommended, notRecommended, stopped, choices } = plan;
  const lines: string[] = [];
  if (recommended !== undefined)
    lines.push(`Recommended: ${pitchesText(recommended.pitches)}, because ${RECOMMEND_SENTENCES[recommended.reason]}.`);
  if (notRecommended !== undefined) lines.push(NO_RECOMMENDATION_SENTENCES[notRecommended]);
  if (notRecommended === 'replace-chain' && choices[0] !== undefined) lines.push(wornSentence(choices[0], system));
  if (plan.longestKeepingCarriers === 0)
    lines.push('No gap between carriers has a repeat of the chain to give: every removal takes a carrier off.');
  if (stopped !== undefined && choices[0] !== undefined) {
    lines.push(stopSentence(stopped.limit, choices[0], plan, system), ...stopped.help.map((help) => helpSentence(help, system)));
  }
  const shown = choices.find(({ pitches }) => pitches === recommended?.pitches);
  if (shown !== undefined) lines.push(...othersSentences(shown.others, system));
  return lines;
}

/** Why a chain is replaced and not shortened. */
function wornSentence({ wear: { verdict, shareOfLimit }, travelRegainedMm }: RemovalChoice, system: UnitSystem): string {
  const share = `${String(Math.round(shareOfLimit * 100))} % of its wear limit`;
  if (verdict === 'replace-limit-passed') return `It is worn to ${share}.`;
  return `It is worn to ${share}, and reaches it before the carriage has used the ${showText('travel', travelRegainedMm, system)} that the shortest removal regains. Turn the nuts meanwhile to keep the tension.`;
}

/** Which limit stops a removal, with its figures. */
export function stopSentence(stop: RemovalStop, choice: RemovalChoice, plan: RemovalPlan, system: UnitSystem): string {
  const mm = (value: number): string => showText('travel', value, system);
  const { pitches, drawIn, carriers } = choice;
  const asked = `Taking out ${pitchesText(pitches)}`;
  switch (stop) {
    case 'inner-reserve':
      return `${asked} would bring the carriage ${placeWords(Math.min(choice.carriageAfterMm, choice.settlesAtMm), mm)}, and ${mm(plan.excess.totalMm)} must stay free inwards${excessWords(plan.excess, mm)}.`;
    case 'draw-in':
      return `${asked} needs the carriage drawn in by ${mm(drawIn.neededMm)}, and it can come in by ${mm(drawIn.availableMm)}.`;
    case 'carrier-spacing':
      return `${asked} from one gap would take ${carriersText(carriers?.off ?? 0)} off, and every carrier is to stay.`;
    case 'carriers-run-out':
      return `${asked} would take ${carriersText(carriers?.off ?? 0)} off, and there are not so many.`;
    case 'chain-runs-out':
      return `${asked} would leave no chain: the circuit has ${String(plan.pitches)}.`;
  }
}

/** `to 12.0 mm from its inner stop`, or how far beyond it that would be. */
function placeWords(positionMm: number, mm: (value: number) => string): string {
  return positionMm >= 0 ? `to ${mm(positionMm)} from its inner stop` : `${mm(-positionMm)} beyond its inner stop`;
}

/** What the room inwards is for: only what there is of it, so that one sees what could be less. */
function excessWords(
  { breathingMm, coldContractionMm, reversingDrawInMm, besidesMm }: InwardExcess,
  mm: (value: number) => string,
): string {
  const parts = [
    ['to and fro', breathingMm],
    ['for the cold', coldContractionMm],
    ['for running backwards', reversingDrawInMm],
    ['asked for besides', besidesMm],
  ] as const;
  const said = parts.filter(([, value]) => value >= SHOWN_MM).map(([words, value]) => `${mm(value)} ${words}`);
  return said.length < 2 ? '' : ` (${said.join(', ')})`;
}

/** What helps where a limit stops every removal. */
export function helpSentence(help: RemovalHelp, system: UnitSystem): string {
  const mm = (value: number): string => showText('travel', value, system);
  switch (help.help) {
    case 'wait-until-position':
      return `It can be made once the carriage has come out to ${mm(help.positionMm)}${help.days === undefined ? '' : `, in about ${String(Math.ceil(help.days))} days at the present wear`}.`;
    case 'handle-with-less-slack':
      return `With ${mm(help.slackMm)} of loose chain to handle the ends, or less, the stroke would do.`;
    case 'take-carriers-off':
      return `Allow ${carriersText(help.off)} to come off.`;
    case 'take-out-in-places':
      return `Take it out in ${String(help.places)} places, a part from a gap in each: every carrier stays.`;
    case 'stroke-too-short-for-repeat':
      return `The stroke of ${mm(help.strokeMm)} never has the ${mm(help.neededMm)} that one repeat of this chain asks for: less breathing, cold or reversing excess helps, or a take-up with a longer stroke.`;
    case 'turn-the-nuts':
      return 'Meanwhile turn the adjusting nuts to keep the tension.';
    case 'replace-the-chain':
      return 'Replace the chain.';
  }
}

/** What happens to the other take-ups of the chain meanwhile: they move as the tension changes, their nuts left alone. */
export function othersSentences(others: readonly OtherMove[], system: UnitSystem): readonly string[] {
  return others.map(({ takeup, location, moveMm }) => {
    const name = `The other take-up of this chain, ${takeup} (${location}),`;
    if (Math.abs(moveMm) < SHOWN_MM) return `${name} stays where it is: the tension is the same afterwards.`;
    const way =
      moveMm < 0
        ? `comes in by ${showText('travel', -moveMm, system)} as the tension rises`
        : `goes out by ${showText('travel', moveMm, system)} as the tension falls`;
    return `${name} ${way}, its nuts left alone: see that it has so much travel, or plan its nuts with this.`;
  });
}

/** `far-end comes in by 12.0 mm`, for a row or a line of facts. */
function otherMoveText({ takeup, moveMm }: OtherMove, system: UnitSystem): string {
  if (Math.abs(moveMm) < SHOWN_MM) return `${takeup} stays where it is`;
  return `${takeup} ${moveMm < 0 ? 'comes in' : 'goes out'} by ${showText('travel', Math.abs(moveMm), system)}`;
}

/** What the other take-ups of the chain do, as a fact of a card; none where there is no other. */
export function othersFact(others: readonly OtherMove[], system: UnitSystem): readonly CardFact[] {
  return others.length === 0 ? [] : [{ label: 'On the same chain', text: others.map((one) => otherMoveText(one, system)).join('; ') }];
}

/** `far-end (hall 3)`: where the other take-ups are. */
export function othersPlaces(others: readonly OtherMove[]): string {
  return others.map(({ takeup, location }) => `${takeup} (${location})`).join(' and ');
}

export function carriersText(count: number): string {
  return `${String(count)} ${count === 1 ? 'carrier' : 'carriers'}`;
}

export function pitchesText(count: number): string {
  return `${String(count)} ${count === 1 ? 'pitch' : 'pitches'}`;
}
