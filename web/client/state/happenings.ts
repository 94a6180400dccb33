import { useMemo } from 'preact/hooks';
import type { AlarmsAnswer } from '../../server/logic/answers.js';
import type { EntryAnswer, FindingAnswer } from '../../server/logic/work-answers.js';
import { timelineMarks, type TimelineMark } from '../logic/timeline-marks.js';
import { ask } from './api.js';
import { takeupPath } from './history.js';
import { standing } from './live.js';
import type { Place } from './places.js';
import { units } from './session.js';
import { useAnswer } from './use-answer.js';
import { workTold } from './work.js';

/** As many alarms as are marked on a chart. */
const MOST_ALARMS = 500;

/** Everything that happened to a take-up, for the lanes above its charts; what cannot be read is left out. */
export function useHappenings({ conveyor, takeup }: Place): readonly TimelineMark[] {
  const path = takeupPath(conveyor.id, takeup.id);
  const told = workTold(conveyor.id).value;
  const alarmState = standing.value.filter((one) => one.conveyor === conveyor.id && one.takeup === takeup.id).length;
  const entries = useAnswer(() => ask<readonly EntryAnswer[]>('GET', `${path}/entries`), [path, told]);
  const findings = useAnswer(() => ask<readonly FindingAnswer[]>('GET', `${path}/findings`), [path, told]);
  const query = `conveyor=${encodeURIComponent(conveyor.id)}&takeup=${encodeURIComponent(takeup.id)}&limit=${MOST_ALARMS}`;
  const alarms = useAnswer(() => ask<AlarmsAnswer>('GET', `/api/alarms?${query}`), [query, alarmState]);
  const system = units.value;
  return useMemo(
    () =>
      timelineMarks(
        entries.state === 'here' ? entries.value : [],
        alarms.state === 'here' ? alarms.value.recent : [],
        findings.state === 'here' ? findings.value : [],
        system,
      ),
    [entries, alarms, findings, system],
  );
}
