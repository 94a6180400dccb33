import type { Figure } from '../../contract/messages.js';
import { unknown, type UnknownReason } from '../../units/unknown.js';
import type { ConveyorWay } from './conveyor-way.js';
import type { TakeupTrack } from '../takeup/takeup-track.js';

/** The figures of one take-up as its last settled window left them; NaN where not known. */
export interface SettledFigures {
  /** End of the settled window; NaN where none has settled yet. */
  readonly asOfMs: number;
  /** Hours that the conveyor had run by then; NaN where none has settled yet. */
  readonly runHours: number;
  readonly positionMm: number;
  readonly skewMm: number;
  readonly breathingMm: number;
  readonly thermalMm: number;
  readonly elasticMm: number;
  readonly elongation: number;
  readonly springLeftMm: number;
  readonly springRightMm: number;
  readonly carriageForceN: number;
  readonly strandTensionN: number;
  readonly marginToSolidMm: number;
  readonly bound: boolean;
}

/** What the last settled window says; before the first, what the smoothed sides say now. */
export function settledFigures(way: ConveyorWay, index: number): SettledFigures {
  const track = way.tracks[index] as TakeupTrack;
  const record = way.account.histories[index]?.last;
  if (record === undefined) return smoothedFigures(track);
  const figures = way.account.ledger.figures(index, record);
  const [left, right] = way.account.ledger.sidesAt(index, record.toMs);
  return {
    asOfMs: record.toMs,
    runHours: record.runHours,
    positionMm: record.mean,
    skewMm: record.skew,
    breathingMm: record.breathing,
    thermalMm: figures.thermalMm,
    elasticMm: figures.elasticMm,
    elongation: figures.elongation,
    springLeftMm: figures.springLeftMm,
    springRightMm: figures.springRightMm,
    carriageForceN: figures.carriageForceN,
    strandTensionN: figures.strandTensionN,
    marginToSolidMm: Math.min(figures.springLeftMm - left.spring.solidMm, figures.springRightMm - right.spring.solidMm),
    bound: figures.bound,
  };
}

function smoothedFigures(track: TakeupTrack): SettledFigures {
  return {
    asOfMs: track.timeMs,
    runHours: NaN,
    positionMm: track.smoothedMm,
    skewMm: track.skewMm,
    breathingMm: NaN,
    thermalMm: NaN,
    elasticMm: NaN,
    elongation: NaN,
    springLeftMm: track.left.smoothedSpringMm,
    springRightMm: track.right.smoothedSpringMm,
    carriageForceN: track.carriageForceN,
    strandTensionN: track.strandTensionN,
    marginToSolidMm: track.marginToSolidMm,
    bound: false,
  };
}

/** Why a take-up's position is not known now; undefined where it is. */
export function whyPositionUnknown(track: TakeupTrack): UnknownReason | undefined {
  if (!track.left.known) return track.left.whyPositionUnknown;
  return track.right.known ? undefined : track.right.whyPositionUnknown;
}

/** A number for the wire, or the reason why there is none. */
export function figure(value: number, reason: UnknownReason | undefined): Figure {
  return Number.isNaN(value) ? unknown(reason ?? 'not-settled') : value;
}
