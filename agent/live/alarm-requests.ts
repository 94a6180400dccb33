import type { RequestMessage } from '../contract/messages.js';
import type { AlarmState } from '../flow/alarm-key.js';
import type { AlarmName } from '../flow/alarm/alarm-name.js';
import type { Input, Pipeline } from '../pipeline.js';
import type { JsonObject } from '../store/journal.js';
import { parseTime } from '../units/time.js';
import type { Asked, RequestTime } from './asked.js';

/** Verbs that do something with one alarm. */
export const ALARM_VERBS = ['acknowledge', 'shelve', 'unshelve', 'out-of-service', 'in-service'] as const;
type AlarmVerb = (typeof ALARM_VERBS)[number];

const HOUR_MS = 3600_000;
/** A shelved alarm returns by itself within a day (alarms.md §2). */
const LONGEST_SHELF_MS = 24 * HOUR_MS;
/** In how fine steps the two clocks are told apart: a time that a person gave is kept to the digit where they are nearly the same. */
const CLOCK_STEP_MS = 60_000;
const LONGEST_WHY = 500;

const DONE: Readonly<Record<AlarmVerb, string>> = {
  acknowledge: 'acknowledged',
  shelve: 'shelved',
  unshelve: 'taken back from the shelf',
  'out-of-service': 'taken out of service',
  'in-service': 'put back into service',
};

export function isAlarmVerb(verb: string): verb is AlarmVerb {
  return (ALARM_VERBS as readonly string[]).includes(verb);
}

/**
 * Reads a request to do something with an alarm.
 * @param repeated - it is in the journal: delivered again, it is not refused for having been done
 */
export function askAlarm(pipeline: Pipeline, verb: AlarmVerb, message: RequestMessage, now: RequestTime, repeated: boolean): Asked {
  const text = (field: string): string | undefined => (typeof message[field] === 'string' ? message[field] : undefined);
  const [conveyor, takeup, alarm, signal] = [text('conveyor'), text('takeup'), text('alarm'), text('signal')];
  const way = pipeline.ways.find((candidate) => candidate.conveyor.id === conveyor);
  if (way === undefined || conveyor === undefined) return refuse(`there is no conveyor ${conveyor ?? '(none named)'}`);
  if (alarm === undefined) return refuse(`alarm must name the alarm to ${VERB_WORDS[verb]}`);
  const state = way.alarms.stateOf({ takeup, alarm, signal });
  const unfit = state === undefined ? unknownAlarm(verb, { takeup, alarm, signal }) : misfit(verb, state);
  if (!repeated && unfit !== undefined) return refuse(unfit);
  const reason = readWhy(verb, message['why']);
  if (!reason.ok) return reason;
  const until = verb === 'shelve' ? readUntil(message['until'], now, repeated) : { ok: true as const, fields: {} };
  if (!until.ok) return until;
  const action: JsonObject = {
    verb,
    conveyor,
    alarm,
    by: message.by,
    ...(takeup === undefined ? {} : { takeup }),
    ...(signal === undefined ? {} : { signal }),
    ...reason.fields,
    ...until.fields,
  };
  return { ok: true, input: { kind: 'operator', timeMs: now.dataMs, id: message.request, action }, done: DONE[verb] };
}

const VERB_WORDS: Readonly<Record<AlarmVerb, string>> = {
  acknowledge: 'acknowledge',
  shelve: 'shelve',
  unshelve: 'take back from the shelf',
  'out-of-service': 'take out of service',
  'in-service': 'put back into service',
};

function refuse(message: string): { readonly ok: false; readonly message: string } {
  return { ok: false, message };
}

function unknownAlarm(verb: AlarmVerb, { takeup, alarm, signal }: AlarmName): string {
  if (verb === 'acknowledge') return 'no such alarm waits to be acknowledged: somebody may have been quicker';
  const where = takeup === undefined ? 'no take-up' : `take-up ${takeup}`;
  const whose = signal === undefined ? '' : ` and signal ${signal}`;
  return `there is no alarm ${alarm} at ${where}${whose}: an alarm of a signal names its signal, any other its take-up`;
}

/** Why an alarm in this state cannot be dealt with so; undefined where it can. */
function misfit(verb: AlarmVerb, state: AlarmState): string | undefined {
  switch (verb) {
    case 'acknowledge':
      return state === 'unacknowledged' || state === 'returned-unacknowledged'
        ? undefined
        : 'no such alarm waits to be acknowledged: somebody may have been quicker';
    case 'shelve':
      return state === 'out-of-service' ? 'the alarm is out of service: put it back into service before you shelve it' : undefined;
    case 'unshelve':
      return state === 'shelved'
        ? undefined
        : 'the alarm is not shelved: it may have come back by itself, or somebody may have been quicker';
    case 'out-of-service':
      return state === 'out-of-service' ? 'the alarm is out of service already' : undefined;
    case 'in-service':
      return state === 'out-of-service' ? undefined : 'the alarm is not out of service: somebody may have been quicker';
  }
}

type Fields = { readonly ok: true; readonly fields: JsonObject } | { readonly ok: false; readonly message: string };

/** Setting an alarm aside takes a reason; taking it back may have one. */
function readWhy(verb: AlarmVerb, why: unknown): Fields {
  const needed = verb === 'shelve' || verb === 'out-of-service';
  if (verb === 'acknowledge' || (why === undefined && !needed)) return { ok: true, fields: {} };
  if (typeof why !== 'string' || why.trim() === '') return refuse(`why must say for what reason you ${VERB_WORDS[verb]}`);
  if (why.length > LONGEST_WHY) return refuse(`why must be a sentence of at most ${String(LONGEST_WHY)} characters`);
  return { ok: true, fields: { why } };
}

/**
 * Until when an alarm is shelved. People give it by the clock on the wall; it comes back on the data's own, which lies elsewhere where
 * a recording is played to the broker: there the same span counts.
 */
function readUntil(until: unknown, { wallMs, dataMs }: RequestTime, repeated: boolean): Fields {
  const untilMs = typeof until === 'string' ? parseTime(until) : undefined;
  if (untilMs === undefined) return refuse('until must say when the alarm comes back, in ISO 8601 with an offset');
  // What was taken once is known by its words, whatever the clock says since.
  if (!repeated && untilMs <= wallMs) return refuse('until lies in the past: give the time at which the alarm is to come back');
  if (!repeated && untilMs > wallMs + LONGEST_SHELF_MS) {
    return refuse('until lies more than 24 hours ahead: shelve it for a day at most, or take it out of service');
  }
  const shiftMs = Math.round((dataMs - wallMs) / CLOCK_STEP_MS) * CLOCK_STEP_MS;
  return { ok: true, fields: { until, ...(shiftMs === 0 ? {} : { shiftMs }) } };
}

/** A journalled action as the pipeline takes it; undefined where it is not about an alarm. */
export function alarmInput(timeMs: number, action: JsonObject): Input | undefined {
  const { verb, conveyor, takeup, alarm, signal, by, why, until, shiftMs } = action;
  if (typeof verb !== 'string' || !isAlarmVerb(verb)) return undefined;
  if (typeof conveyor !== 'string' || typeof alarm !== 'string' || typeof by !== 'string') return undefined;
  const common = {
    timeMs,
    conveyor,
    alarm,
    by,
    ...(typeof takeup === 'string' ? { takeup } : {}),
    ...(typeof signal === 'string' ? { signal } : {}),
  };
  const reason = typeof why === 'string' ? { why } : {};
  switch (verb) {
    case 'acknowledge':
      return { kind: verb, ...common };
    case 'unshelve':
    case 'in-service':
      return { kind: verb, ...common, ...reason };
    case 'out-of-service':
      return typeof why === 'string' ? { kind: verb, ...common, why } : undefined;
    case 'shelve': {
      const untilMs = typeof until === 'string' ? parseTime(until) : undefined;
      if (typeof why !== 'string' || untilMs === undefined) return undefined;
      return { kind: verb, ...common, why, untilMs: untilMs + (typeof shiftMs === 'number' ? shiftMs : 0) };
    }
  }
}
