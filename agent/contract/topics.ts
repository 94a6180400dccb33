import { ALARM_KEYS, type AlarmKey } from '../flow/alarm-key.js';

/** In place of a site id in a filter: whichever site. */
export const ANY_SITE = '+';

const ROOT = 'takeline';

/**
 * Where a signal's readings come in unless its site file says otherwise.
 *
 * @param signalName - the signal's path, such as `enamel/tu1/left/position`
 */
export function inTopic(siteId: string, signalName: string): string {
  return `${under(siteId)}/in/${path(signalName)}`;
}

/** The present picture of a take-up; retained. */
export function nowTopic(siteId: string, conveyor: string, takeup: string): string {
  return `${outOf(siteId, conveyor)}/${level(takeup)}/now`;
}

/** One alarm of a take-up; retained. */
export function alarmTopic(siteId: string, conveyor: string, takeup: string, key: AlarmKey): string {
  return `${outOf(siteId, conveyor)}/${level(takeup)}/alarm/${key}`;
}

/**
 * One alarm of a signal that belongs to no take-up: `takeline/<site>/out/<conveyor>/signal/<rest>/alarm/<KEY>`, where the signal's
 * name is `<conveyor>/<rest>`; retained. Even with a take-up called `signal` the two kinds differ in their number of levels.
 *
 * @param signalName - such as `enamel/running` or `enamel/furnace/temperature`
 */
export function signalAlarmTopic(siteId: string, signalName: string, key: AlarmKey): string {
  const slash = signalName.indexOf('/');
  if (slash < 0) throw new RangeError(`a signal's name has its conveyor in front, not ${JSON.stringify(signalName)}`);
  return `${outOf(siteId, signalName.slice(0, slash))}/signal/${path(signalName.slice(slash + 1))}/alarm/${key}`;
}

/** Every transition and finding of a take-up; of the whole conveyor (`out/<conveyor>/event`) where no take-up is given. */
export function eventTopic(siteId: string, conveyor: string, takeup?: string): string {
  return takeup === undefined ? `${outOf(siteId, conveyor)}/event` : `${outOf(siteId, conveyor)}/${level(takeup)}/event`;
}

/** Whether an agent runs; retained, with a will. */
export function agentStatusTopic(siteId: string, agentId: string): string {
  return `${under(siteId)}/agent/${level(agentId)}/status`;
}

/** A request from the web to the agent. */
export function requestTopic(siteId: string, verb: string): string {
  return `${under(siteId)}/do/${level(verb)}`;
}

/**
 * The answer to a request.
 *
 * @param requestId - came from outside: ask `isTopicLevel` before
 */
export function answerTopic(siteId: string, requestId: string): string {
  return `${under(siteId)}/done/${level(requestId)}`;
}

/** All readings that come in by their default topics. `siteId` may be `ANY_SITE` in this and the filters that follow. */
export function inFilter(siteId: string): string {
  return `${underAny(siteId)}/in/#`;
}

/** Everything the agent gives out. */
export function outFilter(siteId: string): string {
  return `${underAny(siteId)}/out/#`;
}

/** The status of every agent. */
export function agentStatusFilter(siteId: string): string {
  return `${underAny(siteId)}/agent/+/status`;
}

/** All requests. */
export function requestFilter(siteId: string): string {
  return `${underAny(siteId)}/do/#`;
}

/** All answers. */
export function answerFilter(siteId: string): string {
  return `${underAny(siteId)}/done/#`;
}

/** What a topic under `takeline/<site>/out/` carries. */
export type OutTopic =
  | { readonly kind: 'now'; readonly siteId: string; readonly conveyor: string; readonly takeup: string }
  | { readonly kind: 'alarm'; readonly siteId: string; readonly conveyor: string; readonly takeup: string; readonly key: AlarmKey }
  | { readonly kind: 'signal-alarm'; readonly siteId: string; readonly conveyor: string; readonly signal: string; readonly key: AlarmKey }
  | { readonly kind: 'event'; readonly siteId: string; readonly conveyor: string; readonly takeup?: string };

/** What a topic under `out/` says, or undefined where it is none of the contract's. */
export function parseOutTopic(topic: string): OutTopic | undefined {
  const levels = topic.split('/');
  const [root, siteId, out, conveyor, ...rest] = levels;
  if (root !== ROOT || out !== 'out' || siteId === undefined || conveyor === undefined || !levels.every(isTopicLevel)) return undefined;
  const [takeup, what, key] = rest;
  if (rest.length === 1 && takeup === 'event') return { kind: 'event', siteId, conveyor };
  if (takeup === undefined) return undefined;
  if (rest.length === 2 && what === 'now') return { kind: 'now', siteId, conveyor, takeup };
  if (rest.length === 2 && what === 'event') return { kind: 'event', siteId, conveyor, takeup };
  if (rest.length === 3 && what === 'alarm' && isAlarmKey(key)) return { kind: 'alarm', siteId, conveyor, takeup, key };
  const last = rest.at(-1);
  if (rest.length >= 4 && takeup === 'signal' && rest.at(-2) === 'alarm' && isAlarmKey(last)) {
    return { kind: 'signal-alarm', siteId, conveyor, signal: `${conveyor}/${rest.slice(1, -2).join('/')}`, key: last };
  }
  return undefined;
}

/** Whose status a topic carries, or undefined. */
export function parseAgentStatusTopic(topic: string): { readonly siteId: string; readonly agentId: string } | undefined {
  const [siteId, agent, agentId, status] = belowRoot(topic, 4) ?? [];
  return agent === 'agent' && status === 'status' && siteId !== undefined && agentId !== undefined ? { siteId, agentId } : undefined;
}

/** What is asked for by a topic under `do/`, or undefined. */
export function parseRequestTopic(topic: string): { readonly siteId: string; readonly verb: string } | undefined {
  const [siteId, branch, verb] = belowRoot(topic, 3) ?? [];
  return branch === 'do' && siteId !== undefined && verb !== undefined ? { siteId, verb } : undefined;
}

/** Which request a topic under `done/` answers, or undefined. */
export function parseAnswerTopic(topic: string): { readonly siteId: string; readonly request: string } | undefined {
  const [siteId, branch, request] = belowRoot(topic, 3) ?? [];
  return branch === 'done' && siteId !== undefined && request !== undefined ? { siteId, request } : undefined;
}

/** Whether a text can stand between two slashes of a topic: not empty, no separator, wildcard or NUL (MQTT 3.1.1 §4.7). */
export function isTopicLevel(text: string): boolean {
  return text !== '' && !/[/+#\0]/.test(text);
}

function isAlarmKey(text: string | undefined): text is AlarmKey {
  return ALARM_KEYS.some((key) => key === text);
}

function belowRoot(topic: string, count: number): readonly string[] | undefined {
  const [root, ...levels] = topic.split('/');
  return root === ROOT && levels.length === count && levels.every(isTopicLevel) ? levels : undefined;
}

function outOf(siteId: string, conveyor: string): string {
  return `${under(siteId)}/out/${level(conveyor)}`;
}

function under(siteId: string): string {
  return `${ROOT}/${level(siteId)}`;
}

function underAny(siteId: string): string {
  return siteId === ANY_SITE ? `${ROOT}/${ANY_SITE}` : under(siteId);
}

function path(text: string): string {
  return text.split('/').map(level).join('/');
}

function level(text: string): string {
  if (!isTopicLevel(text)) throw new RangeError(`${JSON.stringify(text)} cannot be a level of a topic`);
  return text;
}
