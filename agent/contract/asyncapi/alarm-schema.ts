import { Type } from 'typebox';
import { ALARM_KEYS, ALARM_STATES, PRIORITIES } from '../../flow/alarm-key.js';
import { FINDING_KEYS, type AlarmOutput, type FindingOutput } from '../../flow/output.js';
import type { AlarmMessage, EventMessage } from '../messages.js';
import { standingFields } from './now-schema.js';
import { conveyor, count, epochMs, numberOrNull, side, takeup, text, time, version } from './parts.js';
import { describing } from './same.js';

export const alarmMessage = describing<AlarmMessage>()(
  Type.Object(
    {
      version,
      conveyor,
      takeup: Type.Optional(takeup),
      ...standingFields,
      time: time('When the alarm took its present state.'),
      seen: text('What is seen, in a sentence.'),
      consequence: text('What happens if nobody acts, in a sentence.'),
      action: text('What to do, in a sentence.'),
      respondWithinMin: count('Time there is to respond, minutes.'),
    },
    { description: 'The present state of one alarm. It is published, retained, from the first time on that the alarm leaves normal.' },
  ),
);

const eventFields = {
  version,
  id: text('Names this event: delivered again, it is the same one.'),
  time: time("When it happened, on the data's own clock."),
  conveyor,
  takeup: Type.Optional(takeup),
};

const alarmDetail = describing<Omit<AlarmOutput, 'kind'>>()(
  Type.Object(
    {
      timeMs: epochMs("When it happened, on the data's own clock."),
      conveyor,
      takeup: Type.Optional(takeup),
      side: Type.Optional(side),
      signal: Type.Optional(text("Name of the signal, where it is a signal's alarm.")),
      alarm: Type.Enum([...ALARM_KEYS], { description: 'Key of the alarm in the alarm list.' }),
      priority: Type.Enum([...PRIORITIES], { description: 'Priority, most pressing first.' }),
      change: Type.Enum(
        ['raised', 'cleared', 'acknowledged', 'shelved', 'unshelved', 'suppressed', 'unsuppressed', 'out-of-service', 'in-service'],
        { description: "The transition: raised and cleared are the condition's, the others an operator's or the design's." },
      ),
      from: Type.Enum([...ALARM_STATES], { description: 'State before.' }),
      to: Type.Enum([...ALARM_STATES], { description: 'State after.' }),
      value: numberOrNull('The value that raised or cleared it, in `unit`; null where it has none.'),
      limit: numberOrNull('The set-point, in `unit`; null where the alarm has none.'),
      unit: Type.String({ description: 'Unit of value and limit; empty where they have none.' }),
      by: Type.Optional(text('Who did it, where a person did.')),
      why: Type.Optional(text('Why, where a person gave a reason.')),
    },
    { description: 'The transition.' },
  ),
);

interface AlarmEventMessage extends Omit<EventMessage, 'event' | 'detail'> {
  readonly event: 'alarm';
  readonly detail: Omit<AlarmOutput, 'kind'>;
}

export const alarmEvent = describing<AlarmEventMessage>()(
  Type.Object(
    { ...eventFields, event: Type.Literal('alarm', { description: 'A transition of an alarm.' }), detail: alarmDetail },
    { description: 'A transition of one alarm.' },
  ),
);

const findingDetail = describing<Omit<FindingOutput, 'kind' | 'id'>>()(
  Type.Object(
    {
      timeMs: epochMs("When it became known, on the data's own clock."),
      fromMs: epochMs('The last settled window before.'),
      toMs: epochMs('The first settled window after.'),
      conveyor,
      takeup,
      finding: Type.Enum([...FINDING_KEYS], { description: 'What the carriage says.' }),
      moveMm: numberOrNull('The move of the carriage, mm, positive outwards; null where the finding is no move.'),
      suggestion: Type.Optional(
        Type.Record(Type.String(), Type.Unknown(), { description: 'The service entry that would explain it. Absent where none would.' }),
      ),
      text: text('What was seen and what it rests on, in plain words.'),
      state: Type.Optional(
        Type.Enum(['explained', 'rejected'], {
          description: 'What became of it: a service entry explains it, or a person rejected it. Absent while it is open.',
        }),
      ),
      by: Type.Optional(text('Who rejected it.')),
    },
    { description: 'The finding.' },
  ),
);

interface FindingEventMessage extends Omit<EventMessage, 'event' | 'detail'> {
  readonly event: 'finding';
  readonly detail: Omit<FindingOutput, 'kind' | 'id'>;
}

export const findingEvent = describing<FindingEventMessage>()(
  Type.Object(
    { ...eventFields, event: Type.Literal('finding', { description: 'Something the carriage says.' }), detail: findingDetail },
    { description: 'Something the carriage says: chain taken out or put in, a carriage stuck, wear that quickens.' },
  ),
);
