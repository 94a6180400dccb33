import type { AlarmMessage, Figure, SideNow, SpringNow, StandingAlarm, TakeupNow } from '../../contract/messages.js';
import type { Spring } from '../../site/site.js';
import { formatTime } from '../../units/time.js';
import type { AlarmRecord } from '../alarm/alarm-record.js';
import type { SideTrack, TakeupTrack } from '../takeup/takeup-track.js';
import type { ConveyorWay } from './conveyor-way.js';
import { figure, settledFigures, whyPositionUnknown } from './takeup-figures.js';
import type { TakeupWay } from './takeup-way.js';

const HOUR_MS = 3_600_000;

/** To a hundredth of a millimetre or a newton: finer than any sensor here, and short on the wire. */
function tidy(value: Figure, digits = 2): Figure {
  return typeof value === 'number' ? Number(value.toFixed(digits)) : value;
}

/** A standing alarm as it goes over the wire. */
function standingAlarm(record: AlarmRecord): StandingAlarm {
  return {
    alarm: record.key,
    state: record.state,
    priority: record.terms.priority,
    ...(record.side === null ? {} : { side: record.side }),
    ...(record.place.signal === undefined ? {} : { signal: record.place.signal }),
    since: formatTime(Math.round(record.sinceMs)),
    value: tidy(figure(record.value ?? NaN, 'signal-fault'), 3),
    limit: record.limit,
    unit: record.terms.unit,
    ...setAside(record),
  };
}

/** Why an alarm is not told of, where it is not, and whether its condition is there all the same. */
function setAside(record: AlarmRecord): Pick<StandingAlarm, 'shelved' | 'outOfService' | 'suppressedBy' | 'active'> {
  const { state, shelf, outOfService, suppressedBy, up: active } = record;
  if (outOfService !== undefined) return { outOfService: { ...spoken(outOfService), since: formatTime(outOfService.sinceMs) }, active };
  if (shelf !== undefined)
    return { shelved: { ...spoken(shelf), since: formatTime(shelf.sinceMs), until: formatTime(shelf.untilMs) }, active };
  if (state === 'suppressed-by-design' && suppressedBy !== undefined) return { suppressedBy, active };
  return record.latched ? { active } : {};
}

function spoken({ by, why }: { readonly by: string; readonly why: string }): { readonly by: string; readonly why: string } {
  return { by, why };
}

/** The retained message of an alarm that has just changed. */
export function alarmMessage(record: AlarmRecord): AlarmMessage {
  const { seen, consequence, action, respondWithinMin } = record.terms.text;
  const { conveyor, takeup } = record.place;
  return {
    version: 1,
    conveyor,
    ...(takeup === undefined ? {} : { takeup }),
    ...standingAlarm(record),
    time: formatTime(Math.round(record.changedMs)),
    seen,
    consequence,
    action,
    respondWithinMin,
  };
}

function sideNow(side: SideTrack): SideNow {
  const { lastGoodMs } = side.positionSampler;
  const springReason = side.whySpringUnknown;
  const { known, value } = side.positionSampler;
  return {
    readingMm: tidy(figure(known ? value : NaN, side.whyPositionUnknown)),
    positionMm: tidy(figure(side.smoothedMm, side.whyPositionUnknown)),
    ...(Number.isNaN(lastGoodMs) ? {} : { positionAt: formatTime(Math.round(lastGoodMs)) }),
    springMm: tidy(figure(side.smoothedSpringMm, springReason)),
    forceN: tidy(figure(side.forceN, springReason), 1),
    spring: springOf(side.setting.spring),
  };
}

function springOf({ freeMm, rateNPerMm, solidMm, clearanceMm, perSide, wire }: Spring): SpringNow {
  const coils = wire === undefined ? {} : { totalCoils: wire.totalCoils };
  return { freeMm, rateNPerMm: round4(rateNPerMm), solidMm: round2(solidMm), clearanceMm: round2(clearanceMm), perSide, ...coils };
}

/** The picture of one take-up as it stands at the data's own time. */
export function takeupNow(way: ConveyorWay, index: number, nowMs: number): TakeupNow {
  const track = way.tracks[index] as TakeupTrack;
  const { takeup } = track;
  const takeupWay = way.takeups[index] as TakeupWay;
  const settled = settledFigures(way, index);
  const why = whyPositionUnknown(track);
  const springWhy = [track.left, track.right].find((side) => Number.isNaN(side.smoothedSpringMm))?.whySpringUnknown ?? why;
  const era = way.account.ledger.eraAt(Infinity);
  const running = way.running.at(nowMs);
  const service = way.account.serviceOpen(takeup.id);
  const smoothed = track.smoothedMm;
  const chainWhy = settled.bound ? 'at-stop' : 'not-settled';
  // At a stop, with solid coils or free springs the position bounds the elongation and is no value of it.
  const elongation = settled.bound ? NaN : settled.elongation;
  return {
    version: 1,
    conveyor: way.conveyor.id,
    takeup: takeup.id,
    time: formatTime(Math.round(nowMs)),
    running: Number.isNaN(running) ? null : running === 1,
    positionMm: tidy(figure(smoothed, why)),
    remainingMm: tidy(figure(takeup.strokeMm - smoothed, why)),
    skewMm: tidy(figure(track.skewMm, why)),
    breathingMm: tidy(figure(settled.breathingMm, 'not-settled')),
    dayRangeMm: Number.isNaN(takeupWay.dayLeast) ? null : [round2(takeupWay.dayLeast), round2(takeupWay.dayMost)],
    left: sideNow(track.left),
    right: sideNow(track.right),
    carriageForceN: tidy(figure(track.carriageForceN, springWhy), 1),
    strandTensionN: tidy(figure(track.strandTensionN, springWhy), 1),
    marginToSolidMm: tidy(figure(track.marginToSolidMm, springWhy)),
    settledMm: tidy(figure(Number.isNaN(settled.breathingMm) ? NaN : settled.positionMm, 'not-settled')),
    ...(Number.isNaN(settled.runHours)
      ? {}
      : { settledAt: formatTime(Math.round(settled.asOfMs)), settledRunHours: Number(settled.runHours.toFixed(3)) }),
    // To a tenth, so that a picture in which nothing moves is not another one every moment.
    runHours: Math.ceil((10 * way.running.ranMsAt(nowMs)) / HOUR_MS) / 10,
    chain: {
      pitches: era.pitches,
      removedPitches: era.removedPitches,
      elongationPct: tidy(figure(elongation * 100, chainWhy), 6),
      wearPerJointMm: tidy(figure(elongation * way.conveyor.chain.pitchMm, chainWhy), 6),
      thermalMm: tidy(figure(settled.thermalMm, chainWhy)),
      elasticMm: tidy(figure(settled.elasticMm, chainWhy)),
      provisional: era.provisional,
    },
    trend: way.account.trendOf(index),
    service: service ? { since: formatTime(service.timeMs), ...(service.by === undefined ? {} : { by: service.by }) } : null,
    alarms: way.alarms.standing(takeup.id).map(standingAlarm),
  };
}

function round2(value: number): number {
  return Number(value.toFixed(2));
}

function round4(value: number): number {
  return Number(value.toFixed(4));
}
