import { ALARM_KEYS } from '../../flow/alarm-key.js';
import { agentStatusTopic, alarmTopic, answerTopic, eventTopic, inTopic, nowTopic, requestTopic, signalAlarmTopic } from '../topics.js';
import type { MessageName } from './message-table.js';

/** What a level of a topic stands for. */
export const PARAMETERS = {
  site: { description: 'Id of the site.', examples: ['alder-point'] },
  conveyor: { description: 'Id of the conveyor.', examples: ['enamel'] },
  takeup: { description: 'Id of the take-up.', examples: ['tu1'] },
  side: { description: 'Side of the carriage.', enum: ['left', 'right'] },
  zone: { description: 'Id of the zone; `ambient` for the rest of the path.', examples: ['furnace', 'ambient'] },
  signal: { description: 'A signal of the conveyor itself.', enum: ['running', 'speed'] },
  alarm: { description: 'Key of the alarm.', enum: [...ALARM_KEYS] },
  agent: { description: 'Name of the agent among those of the site.', default: 'agent' },
  request: { description: 'Name of the request, as whoever asked chose it.', location: '$message.payload#/request' },
} as const;

export type ParameterName = keyof typeof PARAMETERS;

export interface ChannelRow {
  readonly address: string;
  readonly title: string;
  readonly description: string;
  readonly messages: readonly MessageName[];
  /** What the agent does there. */
  readonly action: 'send' | 'receive';
  readonly operation: string;
  /** For `receive`: the most that the agent subscribes with. */
  readonly qos: 0 | 1;
  readonly retain: boolean;
  /** Where and with what a request is answered. */
  readonly reply?: 'answer';
}

const IN = { action: 'receive', qos: 1, retain: false, messages: ['reading', 'ownPayload'] } as const;
const [SITE, CONVEYOR, TAKEUP, AGENT, REQUEST] = ['{site}', '{conveyor}', '{takeup}', '{agent}', '{request}'] as const;
/** In the place of an alarm's key. */
const ALARM = '{alarm}' as (typeof ALARM_KEYS)[number];

const reading = (signal: string, operation: string, title: string, what: string): ChannelRow => ({
  ...IN,
  address: inTopic(SITE, signal),
  operation,
  title,
  description: `${what} This is where it comes in unless the site file names a topic of its own; pointers of the site file take it out of a payload of another form. QoS 0 or 1. Publish without retain: a reading that was kept, and says no time, may be of any age and is not used.`,
});

const request = (verb: string, operation: string, title: string, message: MessageName): ChannelRow => ({
  address: requestTopic(SITE, verb),
  operation,
  title,
  description: 'Answered under `done/` and the name of the request, when it is durable or refused. QoS 1.',
  messages: [message],
  action: 'receive',
  qos: 1,
  retain: false,
  reply: 'answer',
});

const OUT = { action: 'send', qos: 1 } as const;

/** Every topic that is live, by the name of its channel in the document. */
export const CHANNELS = {
  position: reading(
    `${CONVEYOR}/${TAKEUP}/{side}/position`,
    'readPosition',
    'Position of a carriage side',
    'Position outwards from the inner stop.',
  ),
  spring: reading(
    `${CONVEYOR}/${TAKEUP}/{side}/spring`,
    'readSpring',
    'Length of a spring',
    "Length of the side's spring by its own sensor.",
  ),
  running: reading(`${CONVEYOR}/running`, 'readRunning', 'Whether a conveyor runs', 'Running (1, true) or standing (0, false).'),
  speed: reading(`${CONVEYOR}/speed`, 'readSpeed', 'Speed of the chain', 'Speed of the chain.'),
  temperature: reading(
    `${CONVEYOR}/{zone}/temperature`,
    'readTemperature',
    'Temperature of a zone',
    'Temperature of a stretch of the path.',
  ),
  now: {
    ...OUT,
    qos: 0,
    retain: true,
    address: nowTopic(SITE, CONVEYOR, TAKEUP),
    operation: 'showTakeup',
    title: 'Present picture of a take-up',
    description: 'Retained, QoS 0, at most twice a second and only where something has changed.',
    messages: ['takeupNow'],
  },
  alarm: {
    ...OUT,
    retain: true,
    address: alarmTopic(SITE, CONVEYOR, TAKEUP, ALARM),
    operation: 'showAlarm',
    title: 'State of an alarm of a take-up',
    description: 'Retained, QoS 1. Of the alarms of both sides the topic shows the one that matters most.',
    messages: ['alarm'],
  },
  signalAlarm: {
    ...OUT,
    retain: true,
    address: signalAlarmTopic(SITE, `${CONVEYOR}/{signal}`, ALARM),
    operation: 'showSignalAlarm',
    title: "State of an alarm of a conveyor's own signal",
    description: 'Retained, QoS 1.',
    messages: ['alarm'],
  },
  temperatureAlarm: {
    ...OUT,
    retain: true,
    address: signalAlarmTopic(SITE, `${CONVEYOR}/{zone}/temperature`, ALARM),
    operation: 'showTemperatureAlarm',
    title: "State of an alarm of a zone's temperature",
    description: 'Retained, QoS 1.',
    messages: ['alarm'],
  },
  event: {
    ...OUT,
    retain: false,
    address: eventTopic(SITE, CONVEYOR, TAKEUP),
    operation: 'tellEvent',
    title: 'Transitions and findings of a take-up',
    description: 'QoS 1. After a restart an event may be told once more, under the same id.',
    messages: ['alarmEvent', 'findingEvent'],
  },
  conveyorEvent: {
    ...OUT,
    retain: false,
    address: eventTopic(SITE, CONVEYOR),
    operation: 'tellConveyorEvent',
    title: 'Transitions that concern a whole conveyor',
    description: 'QoS 1. After a restart an event may be told once more, under the same id.',
    messages: ['alarmEvent'],
  },
  status: {
    ...OUT,
    retain: true,
    address: agentStatusTopic(SITE, AGENT),
    operation: 'tellStatus',
    title: 'Whether an agent runs',
    description: 'Retained, QoS 1, every ten seconds; the will of the agent says `running: false` in its place when it falls silent.',
    messages: ['agentStatus'],
  },
  acknowledge: request('acknowledge', 'acknowledgeAlarm', 'Requests to acknowledge an alarm', 'acknowledge'),
  shelve: request('shelve', 'shelveAlarm', 'Requests to shelve an alarm', 'shelve'),
  unshelve: request('unshelve', 'unshelveAlarm', 'Requests to take an alarm back from the shelf', 'unshelve'),
  outOfService: request('out-of-service', 'takeAlarmOut', 'Requests to take an alarm out of service', 'takeOutOfService'),
  inService: request('in-service', 'putAlarmBack', 'Requests to put an alarm back into service', 'putInService'),
  serviceEntry: request('service-entry', 'enterService', 'Requests to enter work done', 'enterService'),
  rejectFinding: request('reject-finding', 'rejectFinding', 'Requests to reject a finding', 'rejectFinding'),
  signals: request('signals', 'tellSignals', 'Requests to say how the signals stand', 'askSignals'),
  site: request('site', 'changeSite', 'Requests to put another site file in force', 'changeSite'),
  answer: {
    ...OUT,
    retain: false,
    address: answerTopic(SITE, REQUEST),
    operation: 'answerRequest',
    title: 'Answers to requests',
    description: 'QoS 1.',
    messages: ['answer'],
  },
} as const satisfies Readonly<Record<string, ChannelRow>>;

export type ChannelName = keyof typeof CHANNELS;
