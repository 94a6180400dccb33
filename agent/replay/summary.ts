import { roundedNumber, type ReplaySummary, type TakeupSummary } from '../contract/replay-files.js';
import type { ConveyorWay } from '../flow/way/conveyor-way.js';
import { settledFigures, whyPositionUnknown } from '../flow/way/takeup-figures.js';
import type { TakeupTrack } from '../flow/takeup/takeup-track.js';
import { formatTime } from '../units/time.js';
import type { ReplayResult } from './replay.js';

/** The summary of a replay: where every take-up stands at its end. */
export function summaryOf(result: ReplayResult): ReplaySummary {
  return {
    site: result.pipeline.site.id,
    recording: {
      first: timeOrNull(result.firstMs),
      last: timeOrNull(result.lastMs),
      readings: result.readings,
      rejected: result.rejected,
    },
    takeups: result.pipeline.ways.flatMap((way) => way.conveyor.takeups.map((_, index) => takeupSummary(way, index))),
  };
}

function takeupSummary(way: ConveyorWay, index: number): TakeupSummary {
  const track = way.tracks[index] as TakeupTrack;
  const settled = settledFigures(way, index);
  const era = way.account.ledger.eraAt(Infinity);
  // What a lost or faulty signal feeds is unknown, and is never given as its last value.
  const known = whyPositionUnknown(track) === undefined;
  const live = (value: number): number | null => (known ? roundedNumber(value, 4) : null);
  const springsKnown = [track.left, track.right].map((side) => !Number.isNaN(side.smoothedSpringMm));
  const both = (value: number): number | null => (springsKnown.every(Boolean) ? live(value) : null);
  const { pitchMm } = way.conveyor.chain;
  return {
    conveyor: way.conveyor.id,
    takeup: track.takeup.id,
    asOf: timeOrNull(settled.asOfMs),
    positionMm: live(settled.positionMm),
    remainingMm: live(track.takeup.strokeMm - settled.positionMm),
    skewMm: live(settled.skewMm),
    breathingMm: live(settled.breathingMm),
    chain: {
      pitches: era.pitches,
      elongationPct: roundedNumber(settled.elongation * 100, 7),
      wearPerJointMm: roundedNumber(settled.elongation * pitchMm, 7),
      thermalMm: roundedNumber(settled.thermalMm, 4),
      elasticMm: roundedNumber(settled.elasticMm, 4),
      removedPitches: era.removedPitches,
      provisional: era.provisional,
    },
    spring: {
      leftMm: springsKnown[0] ? live(settled.springLeftMm) : null,
      rightMm: springsKnown[1] ? live(settled.springRightMm) : null,
      carriageForceN: both(settled.carriageForceN),
      strandTensionN: both(settled.strandTensionN),
      marginToSolidMm: both(settled.marginToSolidMm),
    },
    trend: way.account.trendOf(index),
  };
}

function timeOrNull(ms: number): string | null {
  return Number.isFinite(ms) ? formatTime(Math.round(ms)) : null;
}
