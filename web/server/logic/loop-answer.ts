import { type BackwardsCase, backwardsCases } from '../../../agent/plan/loop-cases.js';
import { NO_LOOP_SENTENCES, loopOfTakeup, noLoop, reversingOfTakeup } from '../../../agent/plan/loop-of-takeup.js';
import { type LoadCase, leastLoadNPerM, turnedRound, withDrive } from '../../../agent/plan/loop-path.js';
import { developedMm } from '../../../agent/plan/loop-step.js';
import type { LoopCase } from '../../../agent/plan/loop-tension.js';
import type { LoopNode, LoopWalk } from '../../../agent/plan/loop-walk.js';
import { LOAD_WORDS, loopCaseSentence, reverseSentences, stretchWords, takeupPlaceSentence } from '../../../agent/plan/loop-words.js';
import { carriageForceN } from '../../../agent/plan/side-springs.js';
import { type StateFault, type TakeupState, stateFaultSentence, takeupState } from '../../../agent/plan/takeup-state.js';
import type { Conveyor, PathSegment } from '../../../agent/site/site.js';
import { showText, type UnitSystem } from '../../../agent/units/display.js';
import type { LoopAnswer, LoopCaseAnswer, LoopPoint, LoopStretch, LoopWayAnswer } from './plan-answers.js';
import { type PlanBasis, withAssumptions } from './plan-basis.js';
import type { PlanPlace } from './plan-answer.js';

type Loop = NonNullable<LoopAnswer['loop']>;

/** The screens ask about a loop without figures taken by hand: nobody is told there to give any. */
const UNREAD: Partial<Record<StateFault['fault'], string>> = {
  'position-missing': 'Not known: no reading tells where the carriage stands.',
  'elongation-missing': 'Not known: the elongation of the chain comes with settled readings.',
};

/** The tension around a conveyor's loop with all its words, or in sentences why it cannot be walked. */
export function loopAnswer(place: PlanPlace, basis: PlanBasis, emptyNPerM: number | undefined): LoopAnswer {
  const { conveyor, takeup, units } = place;
  const head = { conveyor: conveyor.id, takeup: takeup.id, units };
  const no = noLoop(conveyor, takeup);
  if (no !== undefined) return { ...head, basis: withAssumptions(basis, []), refused: [NO_LOOP_SENTENCES[no]], loop: null };
  const reading = takeupState(conveyor, takeup, basis.figures);
  if (!reading.ok) {
    const refused = reading.faults.map(
      (fault) => UNREAD[fault.fault] ?? `To know what the springs give: ${stateFaultSentence(fault, units)}.`,
    );
    return { ...head, basis: withAssumptions(basis, []), refused, loop: null };
  }
  const { state } = reading;
  return { ...head, basis: withAssumptions(basis, state.assumed), refused: [], loop: loopOf(place, state, emptyNPerM) };
}

/** A conveyor that nothing can be walked on. */
export function noLoopAnswer(conveyor: Conveyor, units: UnitSystem, basis: PlanBasis): LoopAnswer {
  const refused = ['The conveyor has no take-up to walk from.'];
  return { conveyor: conveyor.id, takeup: null, units, basis: withAssumptions(basis, []), refused, loop: null };
}

function loopOf({ conveyor, takeup, units }: PlanPlace, state: TakeupState, emptyNPerM: number | undefined): Loop | null {
  const path = withDrive(conveyor.path);
  const forwards = loopOfTakeup(conveyor, takeup, state.sides, emptyNPerM);
  const reverse = reversingOfTakeup(conveyor, takeup, state.sides, state.positionMm, state.breathingMm, emptyNPerM);
  if (typeof forwards === 'string' || typeof reverse === 'string') return null;
  const leastTensionN = conveyor.chain.minTensionN ?? 0;
  const forceN = carriageForceN(state.sides);
  const back = backwardsCases({ path: conveyor.path, turn: takeup, carriageForceN: forceN, leastTensionN, emptyNPerM });
  const backPath = turnedRound(conveyor.path);
  const lengthMm = path.reduce((sum, segment) => sum + developedMm(segment), 0);
  const caseOf = (one: Omit<LoopCase, 'place'>, own: readonly PathSegment[], turned: boolean): LoopCaseAnswer => ({
    load: one.load,
    title: LOAD_WORDS[one.load],
    ...profile(one.walk, turned ? lengthMm : undefined),
    forceNeededN: one.forceNeededN,
    forceToSpareN: one.forceToSpareN,
    sentence: loopCaseSentence(one, own, leastTensionN, units),
  });
  const { place } = forwards.slackest;
  return {
    lengthMm,
    stretches: stretchesOf(path, units),
    leastTensionN,
    mostTensionN: conveyor.chain.maxTensionN ?? null,
    emptyNPerM: emptyNPerM ?? leastLoadNPerM(path),
    carriageForceN: forceN,
    forwards: way(
      forwards.cases.map((one) => caseOf(one, path, false)),
      forwards.slackest.load,
      conveyor.chain.maxTensionN,
      units,
    ),
    standsWhere: place.place,
    standsSentence: takeupPlaceSentence(place, path, units),
    backwards: {
      ...way(
        back.map((one) => caseOf(asCase(one, forceN), backPath, true)),
        reverse.load,
        conveyor.chain.maxTensionN,
        units,
        reverseSentences(reverse, units),
      ),
      reverse,
      runsSo: conveyor.drive.reversing,
    },
  };
}

/** By how much the springs at rest give more than running backwards asks for. */
function asCase({ load, walk, forceNeededN }: BackwardsCase, carriageForce: number): Omit<LoopCase, 'place'> {
  return { load, walk, forceNeededN, forceToSpareN: carriageForce - forceNeededN };
}

function way(
  cases: readonly LoopCaseAnswer[],
  slackest: LoadCase,
  mostTensionN: number | undefined,
  units: UnitSystem,
  before: readonly string[] = [],
): LoopWayAnswer {
  const tightest = most(cases, ({ highest }) => highest.tensionN);
  const hardest = most(cases, ({ drivePullN }) => drivePullN);
  const worst = cases.find(({ load }) => load === slackest);
  const force = (value: number): string => showText('force', value, units);
  const above =
    mostTensionN !== undefined && tightest.highest.tensionN > mostTensionN
      ? `, above the ${force(mostTensionN)} that the chain may have`
      : '';
  return {
    cases,
    ...{ slackest, tightest: tightest.load, hardest: hardest.load },
    sentences: [
      ...before,
      ...(worst === undefined ? [] : [worst.sentence]),
      `The highest tension is ${force(tightest.highest.tensionN)}, with ${tightest.title}${above}.`,
      `The drive pulls hardest with ${hardest.title}: ${force(hardest.drivePullN)}, ${force(hardest.tightN)} on its tight side and ${force(hardest.slackN)} on its slack side.`,
    ],
  };
}

function most(cases: readonly LoopCaseAnswer[], of: (one: LoopCaseAnswer) => number): LoopCaseAnswer {
  return cases.reduce((best, one) => (of(one) > of(best) ? one : best));
}

/** @param turnedMm - length of the loop where the walk runs backwards, so that its places are told on the axis of the usual direction */
function profile(
  walk: LoopWalk,
  turnedMm: number | undefined,
): Omit<LoopCaseAnswer, 'load' | 'title' | 'forceNeededN' | 'forceToSpareN' | 'sentence'> {
  const point = ({ atMm, tensionN, place }: LoopNode): LoopPoint => ({
    atMm: turnedMm === undefined ? atMm : turnedMm - atMm,
    tensionN,
    place,
  });
  const points = walk.nodes.map(point);
  const { tightN, slackN, drivePullN } = walk;
  return {
    points: turnedMm === undefined ? points : points.toReversed(),
    lowest: point(walk.lowest),
    highest: point(walk.highest),
    ...{ tightN, slackN, drivePullN },
  };
}

function stretchesOf(path: readonly PathSegment[], units: UnitSystem): readonly LoopStretch[] {
  let atMm = 0;
  return path.map((segment) => {
    const fromMm = atMm;
    atMm += developedMm(segment);
    return {
      kind: segment.kind,
      ...{ fromMm, toMm: atMm },
      riseMm: segment.kind === 'straight' ? segment.riseMm : 0,
      loadNPerM: segment.kind === 'drive' ? 0 : segment.loadNPerM,
      words: stretchWords(segment, units),
    };
  });
}
