import type { StandingEntry } from '../../server/logic/live-messages.js';
import { ask } from './api.js';

/** Says that this person has seen an alarm. @throws ApiProblem where the agent does not take it */
export function acknowledgeAlarm({ alarm, conveyor, takeup, side, signal }: StandingEntry): Promise<void> {
  return ask('POST', '/api/alarms/acknowledge', { alarm, conveyor, takeup, side, signal });
}
