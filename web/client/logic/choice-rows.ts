import type { RemovalChoice } from '../../../agent/plan/removal-choice.js';
import type { RemovalPlan } from '../../../agent/plan/removal-plan.js';
import { PARTING_WORDS, STOP_WORDS, WEAR_WORDS, carriersText, pitchesText } from '../../../agent/plan/removal-words.js';
import { turnsWords } from '../../../agent/plan/turns.js';
import { formatNumber, showText, type UnitSystem } from '../../../agent/units/display.js';

/** Of a plan what all its choices share. */
type PlanHead = Pick<RemovalPlan, 'positionMm' | 'excess' | 'handlingSlackMm'>;

/** What stands in one row of one choice. */
export interface ChoiceCell {
  readonly text: string;
  readonly note?: string;
  /** A limit that is not kept: shown with a mark and in words. */
  readonly bad?: boolean;
}

/** One thing that the choices are compared by. */
export interface ChoiceRow {
  readonly label: string;
  /** Alike for all choices, so it stands once. */
  readonly hint?: string;
  readonly cell: (choice: RemovalChoice) => ChoiceCell;
}

const NOT_KNOWN = 'not known';
const SIDES = ['left', 'right'] as const;
/** A move that is not shown is no move: half of the last figure of a millimetre. */
const SHOWN_MM = 0.05;

/**
 * What a technician compares removals by, in the order of the work: what comes out, where the carriage stands, how it gets there,
 * the carriers, the springs, what is gained, and what is left of the chain.
 */
export function choiceRows(plan: PlanHead, choices: readonly RemovalChoice[], system: UnitSystem): readonly ChoiceRow[] {
  const mm = (value: number): string => showText('travel', value, system);
  const settles = choices.some(({ carriageAfterMm, settlesAtMm }) => Math.abs(settlesAtMm - carriageAfterMm) >= SHOWN_MM);
  return [
    {
      label: 'Length that comes out',
      cell: ({ nominalMm, lengthMm }) => ({ text: mm(nominalMm), note: `as new; ${mm(lengthMm)} worn as it is` }),
    },
    {
      label: 'Can be made',
      cell: ({ stops: [stop] }) => (stop === undefined ? { text: 'yes' } : { text: STOP_WORDS[stop], bad: true }),
    },
    {
      label: 'Carriage afterwards',
      hint: `stands at ${mm(plan.positionMm)} now; ${mm(plan.excess.totalMm)} are kept free inwards`,
      cell: (choice) => ({
        text: mm(choice.carriageAfterMm),
        bad: choice.stops.includes('inner-reserve'),
        note: settles ? `${mm(choice.settlesAtMm)} at the tension asked for` : 'from the inner stop',
      }),
    },
    {
      label: 'Draw the carriage in by',
      hint: `with ${mm(plan.handlingSlackMm)} of loose chain to handle the ends`,
      cell: ({ drawIn, stops }) => ({
        text: mm(drawIn.neededMm),
        note: stops.includes('draw-in')
          ? `only ${mm(drawIn.availableMm)} are there`
          : `of ${mm(drawIn.availableMm)}; ${mm(drawIn.forSlackMm)} of it for the ends`,
        bad: stops.includes('draw-in'),
      }),
    },
    ...(choices.some(({ carriers }) => carriers !== undefined) ? [carrierRow(mm)] : []),
    {
      label: 'Parted at',
      cell: ({ parting }) => ({ text: PARTING_WORDS[parting], ...(parting === 'one-pin-out' ? { note: 'grinding it is hot work' } : {}) }),
    },
    ...springRows(mm, system),
    ...otherRows(choices, system),
    ...gainRows(mm),
  ];
}

function carrierRow(mm: (value: number) => string): ChoiceRow {
  return {
    label: 'Carriers',
    cell: ({ carriers, stops }) => ({
      text: carriers === undefined || carriers.off === 0 ? 'all stay' : `${carriersText(carriers.off)} off`,
      note: `${mm(carriers?.gapLeftMm ?? 0)} left between`,
      bad: stops.includes('carrier-spacing') || stops.includes('carriers-run-out'),
    }),
  };
}

function springRows(mm: (value: number) => string, system: UnitSystem): readonly ChoiceRow[] {
  return [
    ...SIDES.map((side): ChoiceRow => ({
      label: `${side === 'left' ? 'Left' : 'Right'} spring and nut`,
      cell: ({ nuts }) => {
        const { springAfterMm, quarterTurns } = nuts.sides[side];
        const bad = nuts.problems.some((one) => one.side === side);
        return { text: mm(springAfterMm), note: quarterTurns === undefined ? 'set by rule' : turnsWords(quarterTurns), bad };
      },
    })),
    {
      label: 'Strand tension',
      cell: ({ nuts }) => ({
        text: showText('force', nuts.tensionAfterN, system),
        note: `${mm(Math.min(...SIDES.map((side) => nuts.sides[side].marginToSolidMm)))} before coils touch`,
      }),
    },
  ];
}

function otherRows([first]: readonly RemovalChoice[], system: UnitSystem): readonly ChoiceRow[] {
  return (first?.others ?? []).map(({ takeup }, index) => ({
    label: `Take-up ${takeup}, same chain`,
    cell: ({ others }) => {
      const moveMm = others[index]?.moveMm ?? 0;
      if (Math.abs(moveMm) < SHOWN_MM) return { text: 'stays', note: 'hold it with its restraint nuts meanwhile' };
      return {
        text: `${moveMm < 0 ? 'comes in' : 'goes out'} by ${showText('travel', Math.abs(moveMm), system)}`,
        note: 'once the springs are set, its nuts left alone',
      };
    },
  }));
}

function gainRows(mm: (value: number) => string): readonly ChoiceRow[] {
  return [
    {
      label: 'Travel regained',
      cell: ({ travelRegainedMm, daysGained }) => ({
        text: mm(travelRegainedMm),
        note: daysGained === undefined ? `days ${NOT_KNOWN}` : `about ${formatNumber(daysGained, 0)} days`,
      }),
    },
    {
      label: 'Chain',
      cell: ({ pitchesLeft, wear }) => ({
        text: `${formatNumber(wear.shareOfLimit * 100, 0)} % of its wear limit`,
        note: `${pitchesText(pitchesLeft)} left`,
        bad: wear.verdict === 'replace-limit-passed' || wear.verdict === 'replace-limit-first',
      }),
    },
    {
      label: 'Shorten or replace',
      cell: ({ wear }) => ({
        text: WEAR_WORDS[wear.verdict],
        note: `${String(wear.furtherShortenings)} more such ${wear.furtherShortenings === 1 ? 'shortening' : 'shortenings'} to come`,
      }),
    },
  ];
}
