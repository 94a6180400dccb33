import type { TSchema } from 'typebox';
import { agentStatus, answer, REQUESTS, signalNow } from './agent-schema.js';
import { alarmEvent, alarmMessage, findingEvent } from './alarm-schema.js';
import { forecastDate, sideNow, springNow, standingAlarm, takeupNow, trendNow } from './now-schema.js';
import { serviceEntry } from './entry-schema.js';
import { unknownValue } from './parts.js';
import { ownPayload, reading } from './reading-schema.js';

/** Schemas that have a name in the document; where one of them stands inside another it is referred to. */
export const SCHEMAS = {
  unknownValue,
  springNow,
  sideNow,
  forecastDate,
  trendNow,
  standingAlarm,
  takeupNow,
  alarmMessage,
  alarmEvent,
  findingEvent,
  agentStatus,
  serviceEntry,
  acknowledge: REQUESTS.acknowledge,
  shelve: REQUESTS.shelve,
  unshelve: REQUESTS.unshelve,
  takeOutOfService: REQUESTS['out-of-service'],
  putInService: REQUESTS['in-service'],
  enterService: REQUESTS['service-entry'],
  rejectFinding: REQUESTS['reject-finding'],
  askSignals: REQUESTS.signals,
  changeSite: REQUESTS.site,
  signalNow,
  answer,
  reading,
  ownPayload,
} as const satisfies Readonly<Record<string, TSchema>>;

export type SchemaName = keyof typeof SCHEMAS;

export interface MessageRow {
  readonly title: string;
  readonly summary: string;
  readonly payload: SchemaName;
  /** Whether `/request` ties it to another message. */
  readonly correlated?: boolean;
  readonly examples?: readonly { readonly summary: string; readonly payload: unknown }[];
}

const request = 'b4f0c1d2-17';
const STROKE_LOW = { conveyor: 'enamel', takeup: 'tu1', alarm: 'stroke-low' };
const entry = { time: '2026-02-02T07:30:00+01:00', conveyor: 'enamel', kind: 'chain-removed', pitches: 40, carriers: 5 };

/** Every message, by its name in the document. */
export const MESSAGES = {
  reading: {
    title: 'A reading',
    summary: 'One value of one signal, by the default payload.',
    payload: 'reading',
    examples: [
      { summary: 'A bare number: it counts from its arrival.', payload: 61.5 },
      { summary: 'With its own time.', payload: { value: 61.5, time: '2026-02-02T06:00:00Z' } },
      { summary: 'With its own time in milliseconds.', payload: { value: true, time: 1770012000000 } },
    ],
  },
  ownPayload: {
    title: 'Readings in a payload of their own form',
    summary: 'JSON of any form, in which the site file points at value and time.',
    payload: 'ownPayload',
    examples: [{ summary: 'Both sides in one payload.', payload: { at: '2026-02-02T06:00:00Z', travel: [61.5, 62.5] } }],
  },
  takeupNow: { title: 'The present picture of a take-up', summary: 'Everything that is known of it now.', payload: 'takeupNow' },
  alarm: { title: 'The present state of an alarm', summary: 'Its state, value and limit, and what to do.', payload: 'alarmMessage' },
  alarmEvent: {
    title: 'A transition of an alarm',
    summary: 'It was raised, cleared, acknowledged, set aside or taken back.',
    payload: 'alarmEvent',
  },
  findingEvent: { title: 'A finding', summary: 'What the carriage says.', payload: 'findingEvent' },
  agentStatus: {
    title: 'Whether an agent runs',
    summary: 'Every ten seconds as its heartbeat, at its end as its farewell, and as its will.',
    payload: 'agentStatus',
    examples: [
      {
        summary: 'It runs.',
        payload: {
          ...{ version: 1, agent: 'agent', site: 'alder-point', running: true, time: '2026-02-02T06:00:00Z' },
          ...{ readings: 86400, rejected: { spike: 3 } },
        },
      },
      {
        summary: 'The will.',
        payload: { version: 1, agent: 'agent', site: 'alder-point', running: false, time: '2026-02-01T06:00:00Z' },
      },
    ],
  },
  acknowledge: {
    title: 'Acknowledge an alarm',
    summary: 'Somebody has seen it and will act.',
    payload: 'acknowledge',
    correlated: true,
    examples: [
      { summary: "A take-up's alarm.", payload: { request, by: 'Kari', conveyor: 'enamel', takeup: 'tu1', alarm: 'stroke-end' } },
      {
        summary: 'The alarm of a signal that belongs to no take-up.',
        payload: { request, by: 'Kari', conveyor: 'enamel', signal: 'enamel/furnace/temperature', alarm: 'signal-lost' },
      },
    ],
  },
  shelve: {
    title: 'Shelve an alarm',
    summary: 'Sets it aside for a while, at most a day.',
    payload: 'shelve',
    correlated: true,
    examples: [
      {
        summary: 'For a shift.',
        payload: { request, by: 'Kari', ...STROKE_LOW, until: '2026-02-02T15:00:00+01:00', why: 'chain is taken out on Saturday' },
      },
    ],
  },
  unshelve: {
    title: 'Take an alarm back from the shelf',
    summary: 'Before its time is up.',
    payload: 'unshelve',
    correlated: true,
    examples: [{ summary: 'Before its time.', payload: { request, by: 'Kari', ...STROKE_LOW } }],
  },
  takeOutOfService: {
    title: 'Take an alarm out of service',
    summary: 'Until somebody puts it back.',
    payload: 'takeOutOfService',
    correlated: true,
    examples: [
      { summary: 'While a sensor is away.', payload: { request, by: 'Kari', ...STROKE_LOW, why: 'left sensor sent in for repair' } },
    ],
  },
  putInService: {
    title: 'Put an alarm back into service',
    summary: 'It is told of again.',
    payload: 'putInService',
    correlated: true,
    examples: [{ summary: 'Put back.', payload: { request, by: 'Kari', ...STROKE_LOW, why: 'sensor is back' } }],
  },
  enterService: {
    title: 'Enter work done',
    summary: 'A service entry, or the correction of one.',
    payload: 'enterService',
    correlated: true,
    examples: [
      { summary: 'Chain taken out.', payload: { request, by: 'Kari', entry } },
      {
        summary: 'It was less.',
        payload: { request, by: 'Kari', entry: { time: entry.time, kind: 'correction', replaces: 'b4f0c1d2-16', pitches: 38 } },
      },
    ],
  },
  rejectFinding: {
    title: 'Reject a finding',
    summary: 'What the carriage seemed to say is not so.',
    payload: 'rejectFinding',
    correlated: true,
  },
  askSignals: {
    title: 'Ask how the signals stand',
    summary: 'Raw and engineering values, state and what was not used; asked for while somebody looks, at most once a second.',
    payload: 'askSignals',
    correlated: true,
  },
  changeSite: {
    title: 'Put another site file in force',
    summary: 'The whole file; kept as a version with who changed it.',
    payload: 'changeSite',
    correlated: true,
  },
  answer: {
    title: 'The answer to a request',
    summary: 'What was done, or why it was refused.',
    payload: 'answer',
    correlated: true,
    examples: [
      { summary: 'Done.', payload: { request, ok: true, message: 'recorded' } },
      {
        summary: 'Refused.',
        payload: { request, ok: false, message: '3200 pitches cannot have been taken out of a chain of 3200: check the count' },
      },
    ],
  },
} as const satisfies Readonly<Record<string, MessageRow>>;

export type MessageName = keyof typeof MESSAGES;
