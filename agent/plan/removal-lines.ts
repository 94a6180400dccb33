import { formatNumber, show, showText, type UnitSystem } from '../units/display.js';
import { CAUTIONS } from './cautions.js';
import { choicesWorthShowing } from './choices-worth-showing.js';
import { nutProblemSentences } from './nut-words.js';
import type { RemovalChoice } from './removal-choice.js';
import type { RemovalPlan } from './removal-plan.js';
import { PARTING_WORDS, STOP_WORDS, WEAR_WORDS, pitchesText, removalSentences } from './removal-words.js';
import type { SideName } from '../site/site.js';
import { ASSUMPTION_SENTENCES, type Assumption } from './takeup-state.js';
import { nearestQuarter, turnsText } from './turns.js';

/** So many choices stand side by side on a terminal of usual width. */
const MOST_COLUMNS = 6;

/** A removal plan as lines for a terminal: where the take-up stands, the choices side by side, the recommended one with its reason. */
export function removalLines(plan: RemovalPlan, assumed: readonly Assumption[], system: UnitSystem): readonly string[] {
  const choices = choicesWorthShowing(plan, MOST_COLUMNS);
  const left = plan.choices.length - choices.length;
  return [
    ...standingLines(plan, system),
    '',
    ...sideBySide(plan, choices, system),
    ...(left > 0 ? [`(${String(left)} more lengths lie between these)`] : []),
    '',
    ...verdictLines(plan, system),
    ...(assumed.length > 0 ? ['', 'Taken for granted:', ...assumed.map((one) => `- ${ASSUMPTION_SENTENCES[one]}`)] : []),
    '',
    'Before any work:',
    ...CAUTIONS.map(({ text }) => `- ${text}`),
  ].map((line) => line.replaceAll('\u00a0', ' '));
}

function standingLines(plan: RemovalPlan, system: UnitSystem): readonly string[] {
  const mm = (value: number): string => showText('travel', value, system);
  const { excess } = plan;
  return [
    `carriage at ${mm(plan.positionMm)} of ${mm(plan.strokeMm)}, ${mm(plan.remainingMm)} left; chain of ${pitchesText(plan.pitches)}, elongation ${showText('elongation', plan.elongation * 100, system)}`,
    `kept free inwards: ${mm(excess.totalMm)} (breathing ${mm(excess.breathingMm)}, cold ${mm(excess.coldContractionMm)}, reversing ${mm(excess.reversingDrawInMm)}); loose chain to handle the ends ${mm(plan.handlingSlackMm)}`,
    `springs to be set for a strand tension of ${showText('force', plan.targetTensionN, system)}`,
  ];
}

type Row = readonly [label: string, cell: (choice: RemovalChoice) => string];

function carrierRows(mm: (value: number) => string): readonly Row[] {
  return [
    ['carriers off', ({ carriers }) => String(carriers?.off ?? 0)],
    ['  gap left', ({ carriers }) => mm(carriers?.gapLeftMm ?? 0)],
  ];
}

function sideBySide(plan: RemovalPlan, choices: readonly RemovalChoice[], system: UnitSystem): readonly string[] {
  const mm = (value: number): string => showText('travel', value, system);
  const both = (of: (side: SideName) => string): string => `${of('left')} / ${of('right')}`;
  const hasCarriers = choices.some(({ carriers }) => carriers !== undefined);
  const rows: readonly Row[] = [
    ['take out', ({ pitches }) => `${pitchesText(pitches)}${pitches === plan.recommended?.pitches ? ' *' : ''}`],
    ['  as new', ({ nominalMm }) => mm(nominalMm)],
    ['can be made', ({ stops: [stop] }) => (stop === undefined ? 'yes' : STOP_WORDS[stop])],
    ['carriage after', ({ carriageAfterMm }) => mm(carriageAfterMm)],
    ...(choices.some(settlesElsewhere) ? ([['  at the new tension', ({ settlesAtMm }) => mm(settlesAtMm)]] satisfies Row[]) : []),
    ['draw in by', ({ drawIn }) => mm(drawIn.neededMm)],
    ['  of possible', ({ drawIn }) => mm(drawIn.availableMm)],
    ...(hasCarriers ? carrierRows(mm) : []),
    ['parted at', ({ parting }) => PARTING_WORDS[parting]],
    ['springs left / right', ({ nuts }) => both((side) => show('travel', nuts.sides[side].springAfterMm, system).value)],
    ['nuts left / right', ({ nuts }) => both((side) => signedTurns(nuts.sides[side].quarterTurns))],
    ['tension after', ({ nuts }) => showText('force', nuts.tensionAfterN, system)],
    ['margin to solid', ({ nuts }) => mm(Math.min(nuts.sides.left.marginToSolidMm, nuts.sides.right.marginToSolidMm))],
    ['travel regained', ({ travelRegainedMm }) => mm(travelRegainedMm)],
    ...(choices.some(({ others }) => others.length > 0) ? othersRows(choices, system) : []),
    ['days gained', ({ daysGained }) => (daysGained === undefined ? 'not known' : formatNumber(daysGained, 0))],
    ['pitches left', ({ pitchesLeft }) => String(pitchesLeft)],
    ['worn', ({ wear }) => `${formatNumber(wear.shareOfLimit * 100, 0)} % of limit`],
    ['  so', ({ wear }) => WEAR_WORDS[wear.verdict]],
    ['more such to come', ({ wear }) => String(wear.furtherShortenings)],
  ];
  return aligned(rows.map(([label, cell]) => [label, ...choices.map(cell)]));
}

function othersRows([first]: readonly RemovalChoice[], system: UnitSystem): readonly Row[] {
  return (first?.others ?? []).map(({ takeup }, index) => [
    `${takeup} moves by`,
    ({ others }) => showText('travel', others[index]?.moveMm ?? 0, system),
  ]);
}

/** Whether the new tension moves the carriage by as much as is shown. */
function settlesElsewhere({ carriageAfterMm, settlesAtMm }: RemovalChoice): boolean {
  return Math.abs(settlesAtMm - carriageAfterMm) >= 0.05;
}

function verdictLines(plan: RemovalPlan, system: UnitSystem): readonly string[] {
  const { recommended, choices } = plan;
  const chosen = choices.find(({ pitches }) => pitches === recommended?.pitches);
  const nuts = (chosen ?? choices[0])?.nuts;
  const [first, ...rest] = removalSentences(plan, system);
  return [
    ...(first === undefined ? [] : [recommended === undefined ? first : `* ${first}`]),
    ...rest,
    ...(nuts === undefined ? [] : nutProblemSentences(nuts, system)),
  ];
}

function signedTurns(turns: number | undefined): string {
  if (turns === undefined) return 'by rule';
  const rounded = nearestQuarter(turns);
  return rounded === 0 ? '0' : `${rounded > 0 ? '+' : '−'}${turnsText(rounded)}`;
}

/** Rows of cells as lines in which the columns stand below one another: labels to the left, figures to the right. */
function aligned(rows: readonly (readonly string[])[]): readonly string[] {
  const widths = (rows[0] ?? []).map((_, column) => Math.max(...rows.map((row) => row[column]?.length ?? 0)));
  return rows.map((row) =>
    row
      .map((cell, column) => (column === 0 ? cell.padEnd(widths[column] ?? 0) : cell.padStart(widths[column] ?? 0)))
      .join('   ')
      .trimEnd(),
  );
}
