import type { TSchema } from 'typebox';
import { agentStatusTopic } from '../topics.js';
import { CHANNELS, PARAMETERS, type ChannelRow, type ParameterName } from './channel-table.js';
import { MESSAGES, SCHEMAS, type MessageRow, type SchemaName } from './message-table.js';

type Json = Readonly<Record<string, unknown>>;

const BINDING_VERSION = '0.2.0';

const ABOUT = `Everything live between sensors, agent and screens of Takeline, over MQTT 3.1.1. The operations are the agent's: it receives readings and requests, and sends pictures, alarms, events, its status and answers.

Lengths are mm, forces N, temperatures °C, elongation %. A value that is not known is an object with the reason in place of the number. Times are ISO 8601 in UTC. Messages are JSON in UTF-8; readers pass over keys that they do not know. Takeline is not a safety device.`;

/** The AsyncAPI 3.0 document of the live topics (https://www.asyncapi.com/docs/reference/specification/v3.0.0). */
export function asyncApiDocument(): Json {
  return {
    asyncapi: '3.0.0',
    info: { title: 'Takeline live topics', version: '1.0.0', description: ABOUT, license: { name: 'MIT' } },
    defaultContentType: 'application/json',
    servers: { broker: server() },
    channels: mapped(CHANNELS, channel),
    operations: Object.fromEntries(Object.entries(CHANNELS).map(([name, row]) => [row.operation, operation(name, row)])),
    components: {
      parameters: PARAMETERS,
      messages: mapped(MESSAGES, message),
      schemas: mapped(SCHEMAS, (schema) => withReferences(schema, schema)),
      securitySchemes: {
        user: { type: 'userPassword', description: 'Sensors, agent and web each have a user of their own, with rules of what it may do.' },
      },
      correlationIds: { request: { description: 'Ties an answer to its request.', location: '$message.payload#/request' } },
    },
  };
}

function server(): Json {
  const lastWill = {
    topic: agentStatusTopic('{site}', '{agent}'),
    qos: 1,
    retain: true,
    message: 'The message agentStatus with running: false.',
  };
  return {
    host: '{host}:1883',
    protocol: 'mqtt',
    protocolVersion: '3.1.1',
    description: 'The embedded broker, or one of the plant.',
    variables: { host: { default: '127.0.0.1', description: 'Where the broker listens.' } },
    security: [reference('components/securitySchemes', 'user')],
    bindings: {
      mqtt: { clientId: 'takeline-agent-{site}-{agent}', cleanSession: false, lastWill, bindingVersion: BINDING_VERSION },
    },
  };
}

function channel(row: ChannelRow): Json {
  const { address, title, description, messages } = row;
  const names = [...address.matchAll(/\{([a-z]+)\}/g)].map(([, name]) => name as ParameterName);
  return {
    address,
    title,
    description,
    servers: [reference('servers', 'broker')],
    parameters: Object.fromEntries(names.map((name) => [name, reference('components/parameters', name)])),
    messages: Object.fromEntries(messages.map((name) => [name, reference('components/messages', name)])),
  };
}

function operation(name: string, row: ChannelRow): Json {
  const { action, title, description, messages, qos, retain, reply } = row;
  return {
    action,
    channel: reference('channels', name),
    title,
    summary: description,
    messages: messages.map((message) => reference(`channels/${name}/messages`, message)),
    bindings: { mqtt: { qos, ...(action === 'send' ? { retain } : {}), bindingVersion: BINDING_VERSION } },
    ...(reply === undefined
      ? {}
      : { reply: { channel: reference('channels', reply), messages: [reference(`channels/${reply}/messages`, 'answer')] } }),
  };
}

function message(row: MessageRow, name: string): Json {
  const { title, summary, payload, correlated, examples } = row;
  return {
    name,
    title,
    summary,
    contentType: 'application/json',
    payload: reference('components/schemas', payload),
    ...(correlated === true ? { correlationId: reference('components/correlationIds', 'request') } : {}),
    ...(examples === undefined ? {} : { examples }),
  };
}

/** Plain JSON of a schema, in which the named schemas inside it are referred to. */
function withReferences(schema: unknown, whole: TSchema): unknown {
  if (typeof schema !== 'object' || schema === null) return schema;
  const name = schema === whole ? undefined : nameOf(schema);
  if (name !== undefined) return reference('components/schemas', name);
  if (Array.isArray(schema)) return schema.map((item) => withReferences(item, whole));
  return mapped(schema as Json, (inner) => withReferences(inner, whole));
}

function nameOf(schema: object): SchemaName | undefined {
  // Made optional, a schema is a copy of itself.
  const said = JSON.stringify(schema);
  return (Object.keys(SCHEMAS) as SchemaName[]).find((name) => JSON.stringify(SCHEMAS[name]) === said);
}

function reference(path: string, name: string): Json {
  return { $ref: `#/${path}/${name}` };
}

function mapped<Value>(rows: Readonly<Record<string, Value>>, map: (row: Value, name: string) => unknown): Json {
  return Object.fromEntries(Object.entries(rows).map(([name, row]) => [name, map(row, name)]));
}
