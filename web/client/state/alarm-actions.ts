import type { AcknowledgedAnswer, AlarmRequest } from '../../server/logic/answers.js';
import type { StandingEntry } from '../../server/logic/live-messages.js';
import { ask } from './api.js';

/** As many as the server takes in one request. */
const MOST_AT_ONCE = 200;

/** Says that this person has seen an alarm. @throws ApiProblem where the agent does not take it */
export function acknowledgeAlarm(alarm: StandingEntry): Promise<void> {
  return ask('POST', '/api/alarms/acknowledge', requestOf(alarm));
}

/**
 * Says that this person has seen these alarms.
 *
 * @returns how many were acknowledged, and why others were not
 * @throws ApiProblem where the server does not take it
 */
export async function acknowledgeAlarms(alarms: readonly StandingEntry[]): Promise<AcknowledgedAnswer> {
  let acknowledged = 0;
  const refused: AcknowledgedAnswer['refused'][number][] = [];
  for (let from = 0; from < alarms.length; from += MOST_AT_ONCE) {
    const some = alarms.slice(from, from + MOST_AT_ONCE).map(requestOf);
    const answer = await ask<AcknowledgedAnswer>('POST', '/api/alarms/acknowledge-several', { alarms: some });
    acknowledged += answer.acknowledged;
    refused.push(...answer.refused);
  }
  return { acknowledged, refused };
}

/** @throws ApiProblem where it is not done */
export function shelveAlarm(alarm: AlarmRequest, minutes: number, why: string): Promise<void> {
  return ask('POST', '/api/alarms/shelve', { ...requestOf(alarm), minutes, why });
}

/** @throws ApiProblem where it is not done */
export function unshelveAlarm(alarm: AlarmRequest): Promise<void> {
  return ask('POST', '/api/alarms/unshelve', requestOf(alarm));
}

/** @throws ApiProblem where it is not done */
export function takeOutOfService(alarm: AlarmRequest, why: string): Promise<void> {
  return ask('POST', '/api/alarms/out-of-service', { ...requestOf(alarm), why });
}

/** @throws ApiProblem where it is not done */
export function putInService(alarm: AlarmRequest): Promise<void> {
  return ask('POST', '/api/alarms/in-service', requestOf(alarm));
}

function requestOf({ alarm, conveyor, takeup, side, signal }: AlarmRequest): AlarmRequest {
  return {
    alarm,
    ...(conveyor === undefined ? {} : { conveyor }),
    ...(takeup === undefined ? {} : { takeup }),
    ...(side === undefined ? {} : { side }),
    ...(signal === undefined ? {} : { signal }),
  };
}
