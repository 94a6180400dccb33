import type { AlarmMessage, StandingAlarm, TakeupNow } from '../../agent/contract/messages.js';

/** What a healthy take-up says of itself; a test says what is different. */
export function nowOf(different: Partial<TakeupNow> & { readonly positionMm?: number } = {}): TakeupNow {
  const positionMm = different.positionMm ?? 96;
  const time = different.time ?? '2026-03-02T09:00:00Z';
  return {
    version: 1,
    conveyor: 'line1',
    takeup: 'tu1',
    time,
    running: true,
    positionMm,
    remainingMm: 230 - positionMm,
    skewMm: 1.2,
    breathingMm: 2.4,
    dayRangeMm: [positionMm - 9, positionMm + 4],
    left: { readingMm: positionMm + 0.6, positionMm: positionMm + 0.6, positionAt: time, springMm: 250, forceN: 1260 },
    right: { readingMm: positionMm - 0.6, positionMm: positionMm - 0.6, positionAt: time, springMm: 248, forceN: 1296 },
    carriageForceN: 2556,
    strandTensionN: 1278,
    marginToSolidMm: 98,
    settledMm: positionMm - 0.5,
    chain: {
      pitches: 3200,
      removedPitches: 4,
      elongationPct: 0.412,
      wearPerJointMm: 0.314,
      thermalMm: 46.2,
      elasticMm: -1.1,
      provisional: false,
    },
    trend: {
      elongationPctPerDay: { value: 0.00052, low: 0.00041, high: 0.00063 },
      travelMmPerDay: 0.63,
      strokeOut: { date: '2026-09-12', early: '2026-07-30', late: '2026-11-20' },
      springSlack: null,
      wearLimit: null,
    },
    service: null,
    alarms: [],
    ...different,
  };
}

/** A standing alarm as a take-up carries it. */
export function alarmOf(different: Partial<StandingAlarm> = {}): StandingAlarm {
  return {
    alarm: 'stroke-end',
    state: 'unacknowledged',
    priority: 'high',
    since: '2026-03-02T08:41:00Z',
    value: 8.2,
    limit: 11.5,
    unit: 'mm',
    ...different,
  };
}

/** The message of a single alarm. */
export function alarmMessageOf(different: Partial<AlarmMessage> = {}): AlarmMessage {
  return {
    version: 1,
    conveyor: 'line1',
    takeup: 'tu1',
    ...alarmOf(),
    time: '2026-03-02T08:41:00Z',
    seen: 'The carriage is almost at its outer stop.',
    consequence: 'With no travel left the springs no longer hold the chain taut.',
    action: 'Take out chain at the next stop.',
    respondWithinMin: 120,
    ...different,
  };
}
