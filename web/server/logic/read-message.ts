import type { AnswerMessage } from '../../../agent/contract/messages.js';
import { parseAgentStatusTopic, parseAnswerTopic, parseOutTopic } from '../../../agent/contract/topics.js';
import type { LiveInput } from './live-picture.js';
import { isAgentStatus, isAlarmMessage, isAnswer, isEvent, isTakeupNow } from './message-shape.js';

/** What a message of the broker is to the web server. */
export type HeardMessage =
  | { readonly kind: 'input'; readonly input: LiveInput }
  | { readonly kind: 'answer'; readonly answer: AnswerMessage }
  /** Findings or the service log of a conveyor have changed; the store has what they are now. */
  | { readonly kind: 'work'; readonly conveyor: string }
  /** Of no use here: an event of an alarm, which the store keeps, or a retained message that was taken away. */
  | { readonly kind: 'other' }
  | { readonly kind: 'unreadable' };

const OTHER: HeardMessage = { kind: 'other' };
const UNREADABLE: HeardMessage = { kind: 'unreadable' };

/** @param atMs - when it came */
export function readMessage(topic: string, payload: string, atMs: number): HeardMessage {
  const kind = kindOf(topic);
  if (kind === 'other' || payload === '') return OTHER;
  const message = parse(payload);
  switch (kind) {
    case 'now':
      return isTakeupNow(message) ? { kind: 'input', input: { kind: 'now', message } } : UNREADABLE;
    case 'alarm':
      return isAlarmMessage(message) ? { kind: 'input', input: { kind: 'alarm', message } } : UNREADABLE;
    case 'status':
      return isAgentStatus(message) ? { kind: 'input', input: { kind: 'status', message, atMs } } : UNREADABLE;
    case 'event':
      return workOf(message);
    case 'answer':
      return isAnswer(message) ? { kind: 'answer', answer: message } : UNREADABLE;
  }
}

function kindOf(topic: string): 'now' | 'alarm' | 'status' | 'answer' | 'event' | 'other' {
  if (parseAgentStatusTopic(topic) !== undefined) return 'status';
  if (parseAnswerTopic(topic) !== undefined) return 'answer';
  const out = parseOutTopic(topic)?.kind;
  if (out === 'signal-alarm') return 'alarm';
  return out === 'now' || out === 'alarm' || out === 'event' ? out : 'other';
}

function workOf(message: unknown): HeardMessage {
  if (!isEvent(message)) return UNREADABLE;
  return message.event === 'finding' || message.event === 'service' ? { kind: 'work', conveyor: message.conveyor } : OTHER;
}

function parse(payload: string): unknown {
  try {
    return JSON.parse(payload);
  } catch {
    return undefined;
  }
}
