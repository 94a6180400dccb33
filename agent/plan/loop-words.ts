import type { PathSegment } from '../site/site.js';
import { showText, type UnitSystem } from '../units/display.js';
import type { LoadCase } from './loop-path.js';
import { developedMm } from './loop-step.js';
import type { LoopCase } from './loop-tension.js';
import type { LoopNode } from './loop-walk.js';
import type { Reverse } from './loop-reverse.js';
import type { TakeupPlace } from './takeup-place.js';

/** What the walk around a loop says, in words. */

export const LOAD_WORDS: Readonly<Record<LoadCase, string>> = {
  loaded: 'every carrier loaded',
  empty: 'every carrier empty',
  'climbs-loaded': 'the climbs alone loaded',
  'declines-loaded': 'the declines alone loaded',
};

/** `straight, 52.00 m, climbs 1.80 m`, `curve of 90°, 1.20 m`, `drive`. */
export function stretchWords(segment: PathSegment, system: UnitSystem): string {
  const length = (mm: number): string => showText('chain-length', mm, system);
  switch (segment.kind) {
    case 'straight':
      if (segment.riseMm === 0) return `straight, ${length(segment.lengthMm)}`;
      return `straight, ${length(segment.lengthMm)}, ${segment.riseMm > 0 ? 'climbs' : 'falls'} ${length(Math.abs(segment.riseMm))}`;
    case 'curve':
      return `curve of ${String(segment.angleDeg)}°, ${length(developedMm(segment))}`;
    case 'drive':
      return 'drive';
  }
}

/**
 * Where a node is, to follow "is": `on the drive's slack side`, `at the end of stretch 4 (straight, 71.00 m, falls 1.80 m)`.
 *
 * @param path - that the node's stretch is counted on
 */
function nodeWords({ place, segment }: Pick<LoopNode, 'place' | 'segment'>, path: readonly PathSegment[], system: UnitSystem): string {
  switch (place) {
    case 'leaving-take-up':
      return 'where the chain leaves the take-up';
    case 'entering-take-up':
      return 'where the chain enters the take-up';
    case 'drive-tight':
      return "on the drive's tight side";
    case 'drive-slack':
      return "on the drive's slack side";
    case 'along': {
      const stretch = segment === undefined ? undefined : path[segment];
      if (segment === undefined || stretch === undefined) return 'along the path';
      return `at the end of stretch ${String(segment + 1)} (${stretchWords(stretch, system)})`;
    }
  }
}

/** The lowest tension of a case, where it is, and what the springs have to spare or lack for it. */
export function loopCaseSentence(
  one: Omit<LoopCase, 'place'>,
  path: readonly PathSegment[],
  leastTensionN: number,
  system: UnitSystem,
): string {
  const force = (value: number): string => showText('force', value, system);
  const { walk, forceNeededN, forceToSpareN } = one;
  const { lowest } = walk;
  const where = nodeWords(lowest, path, system);
  const is = lowest.tensionN < 0 ? `the chain hangs slack ${where}` : `the lowest tension is ${force(lowest.tensionN)}, ${where}`;
  const asked = leastTensionN > 0 ? `a least tension of ${force(leastTensionN)}` : 'a chain that hangs slack nowhere';
  const enough =
    forceToSpareN >= 0
      ? `the springs give ${force(forceToSpareN)} more than ${asked} needs`
      : `the springs give ${force(-forceToSpareN)} too little: ${asked} needs a carriage force of ${force(forceNeededN)}`;
  return `With ${LOAD_WORDS[one.load]} ${is}; ${enough}.`;
}

/** Whether the take-up stands where it should. */
export function takeupPlaceSentence(place: TakeupPlace, path: readonly PathSegment[], system: UnitSystem): string {
  if (place.place === 'at-lowest') return 'The take-up stands at the lowest tension of the loop, where it should.';
  const by = showText('force', place.byN, system);
  switch (place.place) {
    case 'lower-after-drive':
      return `The chain is slacker by ${by} just behind the drive: the take-up would stand better there, close after the drive.`;
    case 'lower-at-foot-of-decline':
      return `The chain is slacker by ${by} at the foot of a decline, ${nodeWords(place.node, path, system)}: the take-up would stand better there.`;
    case 'lower-elsewhere':
      return `The chain is slacker by ${by} ${nodeWords(place.node, path, system)}: what the take-up takes up does not come to it by itself.`;
  }
}

/** What running backwards does to the take-up. */
export function reverseSentences(reverse: Reverse, system: UnitSystem): readonly string[] {
  const force = (value: number): string => showText('force', value, system);
  const mm = (value: number): string => showText('travel', value, system);
  const { drawnInMm, marginToSolidMm, setting } = reverse;
  const draws = `Run backwards with ${LOAD_WORDS[reverse.load]}, the take-up is on the tight side and must hold ${force(reverse.tensionN)}`;
  return [`${draws}: ${endOfWay(reverse, mm(drawnInMm), mm(marginToSolidMm))}.`, settingSentence(setting, force, mm)];
}

function endOfWay({ drawnInMm, limit, slackGatheredMm }: Reverse, drawn: string, margin: string): string {
  switch (limit) {
    case 'springs':
      return drawnInMm === 0
        ? 'the springs hold it where it stands'
        : `the carriage is drawn in by ${drawn}, which leaves ${margin} to touching coils`;
    case 'springs-solid':
      return `the coils touch after ${drawn}, and the rest of the pull goes straight into the chain${slackGatheredMm > 0 ? '' : ', which is slack behind the drive'}`;
    case 'inner-stop':
      return `the carriage is at its inner stop after ${drawn}, and the rest of the pull goes straight into the chain`;
  }
}

function settingSentence(setting: Reverse['setting'], force: (value: number) => string, mm: (value: number) => string): string {
  if (setting.setting === 'spring-too-soft') {
    const least = Number.isFinite(setting.leastRateNPerMm) ? `: one of ${setting.leastRateNPerMm.toFixed(1)} N/mm or more would do` : '';
    return `The springs are too soft to hold it whatever the nuts${least}.`;
  }
  const { springMm, tensionN } = setting;
  return `Springs set to ${mm(springMm.left)} left and ${mm(springMm.right)} right, a strand tension of ${force(tensionN)} at rest, keep a margin.`;
}
