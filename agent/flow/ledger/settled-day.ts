import type { Conveyor } from '../../site/site.js';
import { dayNumberOf } from '../../units/local-day.js';
import { medianOf } from '../../units/quantile.js';
import type { SettledDayOutput } from '../output.js';
import type { Account } from './account.js';
import type { Figures } from './figures.js';
import type { WindowRecord } from './window-record.js';

/** One day of one take-up: the row that is given out, and what the trend needs beside it. */
export interface SettledDay {
  readonly row: SettledDayOutput;
  readonly runHours: number;
  readonly stretch: number;
  readonly newChainMs: number;
  readonly endMs: number;
  /** Days since 1970-01-01 of its date. */
  readonly dayNumber: number;
  /** How it stood when the day ended: medians over the windows since chain, nuts and sensors are as they are. */
  readonly end: DayEnd;
  /** Thermal growth at the warmest of its windows, mm of chain; NaN where not known. */
  readonly hottestMm: number;
}

export type DayEnd = Pick<SettledDayOutput, 'positionMm' | 'elongationPct' | 'springLeftMm' | 'springRightMm' | 'strandTensionN'>;

interface Judged {
  readonly window: WindowRecord;
  readonly figures: Figures;
}

/** The settled values of one day: medians over its windows. @param windows - at least one */
export function settledDay(account: Account, takeupIndex: number, date: string, windows: readonly WindowRecord[]): SettledDay {
  const judged = windows.map((window): Judged => ({ window, figures: account.figures(takeupIndex, window) }));
  const last = judged[judged.length - 1] as Judged;
  // On a day on which chain was taken out or put in, all figures are of the chain as the day left it: a row closes as it stands.
  const ofChain = judged.filter(({ figures }) => figures.pitches === last.figures.pitches);
  const values = ofChain.filter(({ figures }) => !figures.bound);
  // A day that was spent at a stop has no value of its own; what it has is a bound, and is marked so.
  const used = values.length > 0 ? values : ofChain;
  const pick = (of: (one: Judged) => number): number => weightedMedian(used, of);
  const { conveyor } = account;
  const elongation = pick(({ figures }) => figures.elongation);
  return {
    row: {
      kind: 'settled-day',
      date,
      conveyor: conveyor.id,
      takeup: (conveyor.takeups[takeupIndex] as Conveyor['takeups'][number]).id,
      windows: windows.reduce((sum, window) => sum + window.windows, 0),
      positionMm: pick(({ window }) => window.mean),
      skewMm: pick(({ window }) => window.skew),
      breathingMm: pick(({ window }) => window.breathing),
      thermalMm: pick(({ figures }) => figures.thermalMm),
      elasticMm: pick(({ figures }) => figures.elasticMm),
      pitches: last.figures.pitches,
      elongationPct: elongation * 100,
      wearPerJointMm: elongation * conveyor.chain.pitchMm,
      springLeftMm: pick(({ figures }) => figures.springLeftMm),
      springRightMm: pick(({ figures }) => figures.springRightMm),
      strandTensionN: pick(({ figures }) => figures.strandTensionN),
      flag: last.figures.provisional ? 'provisional' : values.length === 0 ? 'bound' : 'value',
    },
    runHours: last.window.runHours,
    stretch: last.figures.stretch,
    newChainMs: last.figures.newChainMs,
    endMs: last.window.toMs,
    end: dayEnd(used.filter(sameEras(account, takeupIndex, last.window.toMs))),
    dayNumber: dayNumberOf(date),
    hottestMm: judged.reduce((most, { figures }) => (figures.thermalMm <= most ? most : figures.thermalMm), NaN),
  };
}

/** A day on which chain was taken out has two positions, and a forecast goes on from the second. */
function dayEnd(judged: readonly Judged[]): DayEnd {
  const pick = (of: (one: Judged) => number): number => weightedMedian(judged, of);
  return {
    positionMm: pick(({ window }) => window.mean),
    elongationPct: 100 * pick(({ figures }) => figures.elongation),
    springLeftMm: pick(({ figures }) => figures.springLeftMm),
    springRightMm: pick(({ figures }) => figures.springRightMm),
    strandTensionN: pick(({ figures }) => figures.strandTensionN),
  };
}

/** Whether a window lies in the eras of chain and nuts that a time lies in. */
function sameEras(account: Account, takeupIndex: number, atMs: number): (one: Judged) => boolean {
  const chain = account.eraAt(atMs);
  const [left, right] = account.sidesAt(takeupIndex, atMs);
  return ({ window }) => {
    const [ownLeft, ownRight] = account.sidesAt(takeupIndex, window.toMs);
    return account.eraAt(window.toMs) === chain && ownLeft === left && ownRight === right;
  };
}

/** A record that stands for several windows weighs as much as they did. */
function weightedMedian(judged: readonly Judged[], of: (one: Judged) => number): number {
  const known = judged.filter((one) => !Number.isNaN(of(one)));
  if (known.length === 1) return of(known[0] as Judged);
  if (known.every(({ window }) => window.windows === 1)) return medianOf(known.map(of));
  return medianOf(known.flatMap((one) => Array.from({ length: one.window.windows }, () => of(one))));
}
