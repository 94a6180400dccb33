import type { TSchema } from 'typebox';
import { Errors } from 'typebox/value';
import { CHANNELS, type ChannelName } from '../../agent/contract/asyncapi/channel-table.js';
import { MESSAGES, SCHEMAS, type MessageName } from '../../agent/contract/asyncapi/message-table.js';

/** A schema that lets no key pass that it does not describe; what is said to hold any key stays open. */
function closed(schema: TSchema): TSchema {
  return close(schema) as TSchema;
}

function close(schema: unknown): unknown {
  if (typeof schema !== 'object' || schema === null) return schema;
  if (Array.isArray(schema)) return schema.map(close);
  const inner = Object.fromEntries(Object.entries(schema).map(([key, value]) => [key, close(value)]));
  return 'properties' in inner && !('additionalProperties' in inner) ? { ...inner, additionalProperties: false } : inner;
}

const CLOSED = Object.fromEntries(Object.entries(SCHEMAS).map(([name, schema]) => [name, closed(schema)]));

/** What is wrong with a message, by its schema and with no key besides. */
export function faultsOf(name: MessageName, payload: unknown): readonly string[] {
  const schema = CLOSED[MESSAGES[name].payload];
  return schema === undefined ? ['no schema'] : Errors(schema, payload).map(({ instancePath, message }) => `${instancePath}: ${message}`);
}

/** Which channel of the document a topic belongs to. */
export function channelOf(topic: string): ChannelName | undefined {
  return (Object.keys(CHANNELS) as ChannelName[]).find((name) => {
    const pattern = CHANNELS[name].address.replaceAll(/\{[a-z]+\}/g, '[^/]+');
    return new RegExp(`^${pattern}$`).test(topic);
  });
}

/** What is wrong with a message on a topic: none of those that the channel carries takes it. */
export function faultsOn(topic: string, payload: string): readonly string[] {
  const name = channelOf(topic);
  if (name === undefined) return [`${topic} is in no channel of the document`];
  const tried = CHANNELS[name].messages.map((message) => faultsOf(message, JSON.parse(payload)));
  return tried.some((faults) => faults.length === 0) ? [] : tried.flat().map((fault) => `${topic} ${fault}`);
}
