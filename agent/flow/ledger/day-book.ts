import type { Conveyor } from '../../site/site.js';
import { dayNumberOf } from '../../units/local-day.js';
import { medianOf } from '../../units/quantile.js';
import type { SettledDayOutput } from '../output.js';
import type { Figures } from './figures.js';
import type { Ledger } from './ledger.js';
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

interface Kept {
  readonly version: number;
  /** Records it was worked out from: a day that was drawn together has fewer. */
  readonly records: number;
  /** The last of them, which may be put right when another take-up's window of the same time comes in. */
  readonly last: WindowRecord | undefined;
  readonly day: SettledDay;
}

/** The settled days of one take-up. A day is worked out again only when the account or its windows have changed. */
export class DayBook {
  private readonly kept = new Map<string, Kept>();

  constructor(
    private readonly ledger: Ledger,
    private readonly takeupIndex: number,
  ) {}

  /** Every day with a settled window before a time, oldest first, by the account as it stands now. */
  days(records: readonly WindowRecord[], untilMs: number): SettledDay[] {
    const days: SettledDay[] = [];
    for (let i = 0; i < records.length;) {
      const { date } = records[i] as WindowRecord;
      let end = i;
      while (records[end]?.date === date && (records[end] as WindowRecord).toMs < untilMs) end++;
      if (end === i) break;
      days.push(this.day(date, records, i, end));
      i = end;
    }
    return days;
  }

  private day(date: string, records: readonly WindowRecord[], from: number, end: number): SettledDay {
    const known = this.kept.get(date);
    const last = records[end - 1];
    if (known?.version === this.ledger.version && known.records === end - from && known.last === last) return known.day;
    const day = settledDay(this.ledger, this.takeupIndex, date, records.slice(from, end));
    this.kept.set(date, { version: this.ledger.version, records: end - from, last, day });
    return day;
  }
}

/** The settled values of one day: medians over its windows. @param windows - at least one */
function settledDay(ledger: Ledger, takeupIndex: number, date: string, windows: readonly WindowRecord[]): SettledDay {
  const judged = windows.map((window): Judged => ({ window, figures: ledger.figures(takeupIndex, window) }));
  const last = judged[judged.length - 1] as Judged;
  // On a day on which chain was taken out or put in, all figures are of the chain as the day left it: a row closes as it stands.
  const ofChain = judged.filter(({ figures }) => figures.pitches === last.figures.pitches);
  const values = ofChain.filter(({ figures }) => !figures.bound);
  // A day that was spent at a stop has no value of its own; what it has is a bound, and is marked so.
  const used = values.length > 0 ? values : ofChain;
  const pick = (of: (one: Judged) => number): number => weightedMedian(used, of);
  const { conveyor } = ledger;
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
    end: dayEnd(used.filter(sameEras(ledger, takeupIndex, last.window.toMs))),
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
function sameEras(ledger: Ledger, takeupIndex: number, atMs: number): (one: Judged) => boolean {
  const chain = ledger.eraAt(atMs);
  const [left, right] = ledger.sidesAt(takeupIndex, atMs);
  return ({ window }) => {
    const [ownLeft, ownRight] = ledger.sidesAt(takeupIndex, window.toMs);
    return ledger.eraAt(window.toMs) === chain && ownLeft === left && ownRight === right;
  };
}

/** A record that stands for several windows weighs as much as they did. */
function weightedMedian(judged: readonly Judged[], of: (one: Judged) => number): number {
  const known = judged.filter((one) => !Number.isNaN(of(one)));
  if (known.length === 1) return of(known[0] as Judged);
  if (known.every(({ window }) => window.windows === 1)) return medianOf(known.map(of));
  return medianOf(known.flatMap((one) => Array.from({ length: one.window.windows }, () => of(one))));
}
