import { Type, type TProperties } from 'typebox';
import { ALARM_KEYS } from '../../flow/alarm-key.js';
import type { AgentStatus, AnswerMessage, SignalNow } from '../messages.js';
import { serviceEntry } from './entry-schema.js';
import { conveyor, count, figure, numberOrNull, text, time, version } from './parts.js';
import { describing } from './same.js';

export const agentStatus = describing<AgentStatus>()(
  Type.Object(
    {
      version,
      agent: text('Name of the agent among those of the site.'),
      site: text('Id of the site.'),
      running: Type.Boolean({ description: 'False: it has stopped, or the broker says so in its place because it fell silent.' }),
      time: time('When this was said; in the will, when the agent was started.'),
      readings: Type.Optional(count('Readings that came in since the start, used or not. Absent in the will.')),
      rejected: Type.Optional(
        Type.Record(Type.String(), Type.Number(), {
          description:
            'How many of them were not used, by reason: unparsable, out-of-range, spike, late, duplicate, ahead (its time lies ahead of ' +
            "the agent's clock), kept (retained, without a time of its own), unknown-signal. Absent in the will.",
        }),
      ),
    },
    { description: 'Whether an agent runs.' },
  ),
);

export const signalNow = describing<SignalNow>()(
  Type.Object(
    {
      signal: text('Name of the signal, as in recordings.'),
      raw: numberOrNull('The last reading as it came, before scale; null where there was none, or it was no number.'),
      value: figure('The last good reading in mm, °C or m/min; 1 or 0 of a running signal.'),
      state: Type.Enum(['good', 'lost', 'fault', 'never-read'], { description: 'How the signal stands.' }),
      at: Type.Optional(time('When the last reading was made, good or not. Absent before the first.')),
      rejected: Type.Record(Type.String(), Type.Number(), {
        description: "How many readings were not used since the agent's start, by reason.",
      }),
    },
    { description: 'One signal as the agent has it now.' },
  ),
);

export const answer = describing<AnswerMessage>()(
  Type.Object(
    {
      request: text('Name of the request that is answered.'),
      ok: Type.Boolean({ description: 'True: it is done, and will be remembered through a power cut.' }),
      message: text('What was done, or why it was refused, in a sentence.'),
      detail: Type.Optional(
        Type.Object(
          {
            signals: Type.Optional(Type.Array(signalNow, { description: 'How the signals stand, where that was asked.' })),
            applied: Type.Optional(Type.Boolean({ description: 'Whether another site file is in force already, or after a restart.' })),
          },
          { description: 'More of it. Absent where there is none.' },
        ),
      ),
    },
    { description: 'The answer to a request.' },
  ),
);

function request<Fields extends TProperties>(description: string, fields: Fields) {
  return Type.Object(
    {
      request: Type.String({
        description:
          'Names the request; the answer comes under this name. The same request delivered again is done once and answered each time.',
        pattern: '^[A-Za-z0-9._-]{1,64}$',
      }),
      by: Type.String({ description: 'Who asks.', minLength: 1, maxLength: 200, pattern: '\\S' }),
      ...fields,
    },
    { description },
  );
}

const ofAlarm = {
  conveyor,
  takeup: Type.Optional(text('Id of the take-up. Absent where it is the alarm of a signal that belongs to none.')),
  alarm: Type.Enum(
    ALARM_KEYS.filter((key) => key !== 'agent-silent'),
    { description: 'Key of the alarm.' },
  ),
  signal: Type.Optional(text("Name of the signal, where it is a signal's alarm.")),
};
const reason = (description: string) => Type.String({ description, minLength: 1, maxLength: 500, pattern: '\\S' });

/** What each verb under `do/` takes. */
export const REQUESTS = {
  acknowledge: request('Acknowledges an alarm that waits for it.', ofAlarm),
  shelve: request('Sets an alarm aside for a while; it comes back by itself. Shelved already, it takes the new time.', {
    ...ofAlarm,
    until: Type.String({
      description: 'When it comes back: in the future, at most 24 hours ahead. ISO 8601 with an offset.',
      format: 'date-time',
    }),
    why: reason('For what reason.'),
  }),
  unshelve: request('Takes an alarm back from the shelf before its time.', { ...ofAlarm, why: Type.Optional(reason('For what reason.')) }),
  'out-of-service': request('Takes an alarm out of service, until it is put back.', { ...ofAlarm, why: reason('For what reason.') }),
  'in-service': request('Puts an alarm back into service.', { ...ofAlarm, why: Type.Optional(reason('For what reason.')) }),
  'service-entry': request('Enters work done.', { entry: serviceEntry }),
  'reject-finding': request('Says that a finding is not so.', { conveyor, finding: text('Id of the finding.') }),
  signals: request('Asks how the signals stand: `detail.signals` of the answer has one `signalNow` for each.', {
    conveyor: Type.Optional(text('Id of the conveyor whose signals are asked for. Absent: all.')),
  }),
  site: request('Puts another site file in the place of the one in force, where it has no faults.', {
    text: text('The whole file, YAML.'),
    why: Type.Optional(text('For what reason, such as what a comparison on the bench showed; kept with the version.')),
  }),
};
