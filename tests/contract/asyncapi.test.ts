import { readFileSync } from 'node:fs';
import { Check } from 'typebox/value';
import { format, resolveConfig } from 'prettier';
import { describe, expect, it } from 'vitest';
import { CHANNELS, PARAMETERS, type ChannelName } from '../../agent/contract/asyncapi/channel-table.js';
import { asyncApiDocument } from '../../agent/contract/asyncapi/document.js';
import { MESSAGES, SCHEMAS, type MessageRow } from '../../agent/contract/asyncapi/message-table.js';
import { serviceEntry } from '../../agent/contract/asyncapi/entry-schema.js';
import { parseServiceEntry } from '../../agent/contract/parse-service-entry.js';
import { SERVICE_KINDS } from '../../agent/contract/service-entry.js';
import {
  agentStatusTopic,
  alarmTopic,
  answerTopic,
  eventTopic,
  inTopic,
  nowTopic,
  requestTopic,
  signalAlarmTopic,
} from '../../agent/contract/topics.js';
import { readVerb } from '../../agent/live/requests.js';
import { Pipeline } from '../../agent/pipeline.js';
import { channelOf, faultsOf } from './asyncapi-schemas.js';
import { siteOfTwo } from './sites.js';

type Json = Readonly<Record<string, unknown>>;
const COMMITTED = '../../agent/contract/asyncapi/takeline.asyncapi.json';
const document = JSON.parse(readFileSync(new URL(COMMITTED, import.meta.url), 'utf8')) as Json;

/** Every value in a document with its way there. */
function* walk(value: unknown, way: readonly string[] = []): Generator<readonly [way: readonly string[], value: unknown]> {
  yield [way, value];
  if (typeof value !== 'object' || value === null) return;
  for (const [key, inner] of Object.entries(value)) yield* walk(inner, [...way, key]);
}

function at(way: readonly string[]): unknown {
  return way.reduce<unknown>((value, key) => (value as Json | undefined)?.[key], document);
}

describe('the AsyncAPI document', () => {
  it('is the one that the schemas give: after a change of them, run this with -u', async () => {
    const path = new URL(COMMITTED, import.meta.url).pathname;
    const options = { ...(await resolveConfig(path)), parser: 'json' };
    await expect(await format(JSON.stringify(asyncApiDocument()), options)).toMatchFileSnapshot(COMMITTED);
  });

  it('refers to nothing that is not there', () => {
    const references = [...walk(document)].flatMap(([way, value]) => (way.at(-1) === '$ref' ? [value as string] : []));
    expect(references.length).toBeGreaterThan(100);
    expect(references.filter((reference) => at(reference.slice(2).split('/')) === undefined)).toEqual([]);
  });

  it('has what AsyncAPI 3.0 asks for: a server, channels with an address, operations that send or receive', () => {
    expect(document).toMatchObject({ asyncapi: '3.0.0', info: { title: expect.any(String) as string, version: '1.0.0' } });
    const { channels, operations, servers, components } = document as Record<string, Record<string, Json>>;
    expect(Object.keys(servers!)).toEqual(['broker']);
    expect(Object.keys(channels!)).toEqual(Object.keys(CHANNELS));
    expect(Object.keys(operations!)).toHaveLength(Object.keys(CHANNELS).length);
    for (const [name, operation] of Object.entries(operations!)) {
      const { $ref } = operation['channel'] as { $ref: string };
      const { messages } = at($ref.slice(2).split('/')) as { messages: Json };
      expect(operation['action'], name).toMatch(/^(send|receive)$/);
      expect(operation['messages'], name).toEqual(Object.keys(messages).map((message) => ({ $ref: `${$ref}/messages/${message}` })));
    }
    expect(Object.keys(components!['messages']!)).toEqual(Object.keys(MESSAGES));
    for (const [way] of walk(components)) for (const key of way) expect(key).not.toMatch(/^~/);
  });

  it('gives every parameter of an address, and names units, QoS and retain', () => {
    for (const [name, row] of Object.entries(document['channels'] as Record<string, Json>)) {
      const inAddress = [...(row['address'] as string).matchAll(/\{([a-z]+)\}/g)].map(([, parameter]) => parameter);
      expect(Object.keys(row['parameters'] as Json), name).toEqual(inAddress);
      expect(row['description'], name).toMatch(/QoS/);
    }
    const used = new Set(Object.values(CHANNELS).flatMap(({ address }) => [...address.matchAll(/\{([a-z]+)\}/g)].map(([, name]) => name)));
    expect([...used].sort()).toEqual(Object.keys(PARAMETERS).sort());
  });

  it('says of every key of a message what it is, and of every measure its unit', () => {
    const silent: string[] = [];
    const unitless: string[] = [];
    const units: readonly (readonly [RegExp, RegExp])[] = [
      [/Mm$|_mm$/, /\bmm\b/],
      [/[a-z]N$/, /\bN\b/],
      [/Pct/, /%/],
      [/Min$/, /minutes/],
      [/Ms$/, /Milliseconds/],
    ];
    for (const [way, value] of walk(at(['components', 'schemas']))) {
      const [key, parent] = [way.at(-1) ?? '', way.at(-2)];
      if (parent !== 'properties' || '$ref' in (value as Json)) continue;
      const { description } = value as { description?: string };
      if (description === undefined) silent.push(way.join('/'));
      for (const [name, unit] of units) if (name.test(key) && !unit.test(description ?? '')) unitless.push(way.join('/'));
    }
    // A date to come or none: the date says what it is.
    const explained = /trendNow\/properties\/(strokeOut|springSlack|wearLimit)$/;
    expect(silent.filter((way) => !explained.test(way))).toEqual([]);
    expect(unitless.filter((way) => !explained.test(way))).toEqual([]);
  });

  it('holds examples that its own schemas take', () => {
    for (const [name, row] of Object.entries(MESSAGES) as [keyof typeof MESSAGES, MessageRow][]) {
      for (const { summary, payload } of row.examples ?? []) expect(faultsOf(name, payload), `${name}: ${summary}`).toEqual([]);
    }
  });
});

describe('the channels', () => {
  it.each<readonly [topic: string, channel: ChannelName]>([
    [inTopic('alder-point', 'enamel/tu1/left/position'), 'position'],
    [inTopic('alder-point', 'enamel/tu1/right/spring'), 'spring'],
    [inTopic('alder-point', 'enamel/running'), 'running'],
    [inTopic('alder-point', 'enamel/speed'), 'speed'],
    [inTopic('alder-point', 'enamel/ambient/temperature'), 'temperature'],
    [nowTopic('alder-point', 'enamel', 'tu1'), 'now'],
    [alarmTopic('alder-point', 'enamel', 'tu1', 'stroke-end'), 'alarm'],
    [signalAlarmTopic('alder-point', 'enamel/running', 'signal-lost'), 'signalAlarm'],
    [signalAlarmTopic('alder-point', 'enamel/furnace/temperature', 'signal-lost'), 'temperatureAlarm'],
    [eventTopic('alder-point', 'enamel', 'tu1'), 'event'],
    [eventTopic('alder-point', 'enamel'), 'conveyorEvent'],
    [agentStatusTopic('alder-point', 'agent'), 'status'],
    [requestTopic('alder-point', 'acknowledge'), 'acknowledge'],
    [requestTopic('alder-point', 'shelve'), 'shelve'],
    [requestTopic('alder-point', 'unshelve'), 'unshelve'],
    [requestTopic('alder-point', 'out-of-service'), 'outOfService'],
    [requestTopic('alder-point', 'in-service'), 'inService'],
    [requestTopic('alder-point', 'service-entry'), 'serviceEntry'],
    [requestTopic('alder-point', 'reject-finding'), 'rejectFinding'],
    [answerTopic('alder-point', 'b4f0c1d2-17'), 'answer'],
  ])('have a place for %s', (topic, channel) => {
    expect(channelOf(topic)).toBe(channel);
  });

  it('have one for each verb that the agent takes, and for no other', () => {
    const documented = Object.values(CHANNELS).flatMap(({ address }) => /\/do\/(.*)$/.exec(address)?.[1] ?? []);
    const refusal = readVerb(new Pipeline(siteOfTwo()), 'dance', { request: 'one', by: 'Kari' }, { wallMs: 0, dataMs: 0 }, new Set());
    const taken = refusal.ok ? '' : (/it takes (.*)$/.exec(refusal.message)?.[1] ?? '');
    expect(taken.split(/, | and /).sort()).toEqual(documented.sort());
  });
});

describe('the schema of service entries', () => {
  const base = { time: '2026-02-02T06:00:00Z', conveyor: 'enamel' };
  const side = { ...base, takeup: 'tu1', side: 'left' };
  const spring = { free_mm: 320, rate_n_per_mm: 18, solid_mm: 150, clearance_mm: 12 };
  const entries: readonly Json[] = [
    { ...base, kind: 'chain-removed', pitches: 40, carriers: 5, id: 'monday', by: 'Kari' },
    { ...base, kind: 'chain-inserted', pitches: 2, takeup: 'tu1' },
    { ...base, time: 1770012000000, kind: 'chain-replaced', pitches: 3200 },
    { ...side, kind: 'nut-turned', turns: -1.5 },
    { ...side, kind: 'nut-turned', spring_mm: 240 },
    { ...side, kind: 'spring-replaced', spring, spring_mm: 250 },
    { ...side, kind: 'sensor-rezeroed', position_mm: -3 },
    { ...base, kind: 'lubricated' },
    { ...base, kind: 'inspected', rock: 'ok', restraint_nuts: 'out', noise: true, filings: 'a little', note: 'chain dry' },
    { ...base, kind: 'service-opened' },
    { ...base, kind: 'service-closed' },
    { ...base, kind: 'note', text: 'painted' },
    { time: base.time, kind: 'correction', replaces: 'monday', pitches: 42, at: base.time, carriers: null, withdraw: false },
  ];

  it('takes one of every kind, as the reader of entries does', () => {
    expect([...new Set(entries.map(({ kind }) => kind))].sort()).toEqual([...SERVICE_KINDS].sort());
    for (const entry of entries) {
      expect([parseServiceEntry(entry, siteOfTwo()).ok, Check(serviceEntry, entry)], JSON.stringify(entry)).toEqual([true, true]);
    }
  });

  it('refuses what the reader of entries refuses for its form', () => {
    const left = (entry: Json, key: string): Json => Object.fromEntries(Object.entries(entry).filter(([name]) => name !== key));
    const required: Readonly<Record<string, readonly string[]>> = {
      'chain-removed': ['pitches'],
      'nut-turned': ['side'],
      'spring-replaced': ['spring', 'spring_mm', 'side'],
      'sensor-rezeroed': ['position_mm', 'side'],
      inspected: ['rock', 'restraint_nuts'],
      note: ['text'],
      correction: ['replaces'],
    };
    for (const entry of entries) {
      for (const key of ['time', 'kind', ...(required[entry['kind'] as string] ?? [])]) {
        const without = left(entry, key);
        expect([parseServiceEntry(without, siteOfTwo()).ok, Check(serviceEntry, without)], JSON.stringify(without)).toEqual([false, false]);
      }
    }
    expect(Check(serviceEntry, { ...base, kind: 'chain-removed', pitches: 0 })).toBe(false);
    expect(Check(serviceEntry, { ...base, kind: 'danced' })).toBe(false);
  });
});

describe('the schemas', () => {
  it('are no part of what the screens load', () => {
    const { messages } = { messages: readFileSync(new URL('../../agent/contract/messages.ts', import.meta.url), 'utf8') };
    expect(messages).not.toMatch(/asyncapi|typebox/);
    expect(Object.keys(SCHEMAS).length).toBeGreaterThan(10);
  });
});
