import type { Priority } from '../../../agent/flow/alarm-key.js';
import { formatNumber } from '../../../agent/units/display.js';
import type { SpanFigures } from '../../server/logic/judge-alarms.js';
import type { SpanKind } from '../../server/logic/site-spans.js';
import { ageWords } from './age.js';

/** A figure, what it is, and what is commonly aimed at. */
export interface JudgedFigure {
  readonly name: string;
  readonly value: string;
  /** Absent where nothing is aimed at. */
  readonly aim?: string;
  /** Whether the aim is missed. */
  readonly missed: boolean;
}

/**
 * The aims are those commonly quoted from the tables of IEC 62682 and ISA-18.2 for one operator: from memory, no transcription [M].
 * A share is 0…1.
 */
const AIMS = { mostPerPeriod: 2, peakPeriod: 10, overShare: 0.01, frequentShare: 0.05, stale: 5 } as const;

/** The figures of a span beside what is aimed at. */
export function judgedFigures(figures: SpanFigures): readonly JudgedFigure[] {
  const { perPeriod, peakPeriod, overShare, frequentShare, chattering, fleeting, stale } = figures;
  return [
    { name: 'Alarms', value: String(figures.alarms), missed: false },
    {
      name: 'Alarms in 10 minutes, on average',
      value: perPeriod === null ? NONE : formatNumber(perPeriod, 2),
      ...{ aim: 'about 1, at most 2', missed: (perPeriod ?? 0) > AIMS.mostPerPeriod },
    },
    { name: 'Most alarms in 10 minutes', value: String(peakPeriod), aim: 'at most 10', missed: peakPeriod > AIMS.peakPeriod },
    {
      name: '10-minute periods with more than 10',
      value: shareWords(overShare),
      ...{ aim: 'below 1 %', missed: (overShare ?? 0) >= AIMS.overShare },
    },
    {
      name: 'Share of the ten most frequent',
      value: shareWords(frequentShare),
      // Of few alarms ten are most of them, which says nothing.
      ...{ aim: '1 to 5 %, of many alarms', missed: figures.alarms >= MANY && (frequentShare ?? 0) > AIMS.frequentShare },
    },
    { name: 'Chattering: three or more in a minute', value: String(chattering), aim: 'none', missed: chattering > 0 },
    { name: 'Fleeting: over within a minute, nobody having acted', value: String(fleeting), aim: 'none', missed: fleeting > 0 },
    { name: 'Stale: standing for over 24 h', value: String(stale), aim: 'fewer than 5', missed: stale >= AIMS.stale },
    { name: 'Standing at the end, and at most', value: `${figures.standing}, ${figures.standingPeak}`, missed: false },
    { name: 'Waiting to be acknowledged at the end', value: String(figures.unacknowledged), missed: false },
    {
      name: 'Time to acknowledge: half within, nine in ten within',
      value: acknowledgeWords(figures),
      missed: false,
    },
  ];
}

const NONE = '–';
/** From here on a share of ten says something: of a hundred alarms each of ten has a hundredth. */
const MANY = 100;

/** A share in per cent. */
export function shareWords(share: number | null): string {
  return share === null ? NONE : `${formatNumber(share * 100, share > 0 && share < 0.1 ? 1 : 0)} %`;
}

/** Within what time half, and within what time nine in ten were acknowledged. */
export function acknowledgeWords({ acknowledgeMedianMs, acknowledgeP90Ms }: SpanFigures): string {
  return acknowledgeMedianMs === null || acknowledgeP90Ms === null
    ? NONE
    : `${ageWords(acknowledgeMedianMs)}, ${ageWords(acknowledgeP90Ms)}`;
}

/** What share each priority has, beside the usual. */
export function priorityShares({ byPriority, alarms }: SpanFigures): readonly {
  readonly priority: Priority;
  readonly alarms: number;
  readonly share: number | null;
  readonly usual: string;
}[] {
  const usual: Readonly<Record<Priority, string>> = { urgent: 'below 1 %', high: '5 %', medium: '15 %', low: '80 %' };
  return (Object.keys(usual) as Priority[]).map((priority) => ({
    priority,
    alarms: byPriority[priority],
    share: alarms === 0 ? null : byPriority[priority] / alarms,
    usual: usual[priority],
  }));
}

/** By what one judges. */
export const KIND_WORDS: Readonly<Record<SpanKind, string>> = { shift: 'Shift', day: 'Day', month: 'Month' };
