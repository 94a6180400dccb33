import type { AlarmCall } from './alarm-calls.js';

const MINUTE_MS = 60_000;
/** So many calls of one alarm in a minute are chattering (alarms.md §4; IEC 62682 has it as the usual criterion). */
const CHATTER = 3;

/**
 * Calls that are part of chattering: of the same alarm, three or more within 60 s, the first and the last counted.
 *
 * @param calls - in order of time
 */
export function chatteringCalls(calls: readonly AlarmCall[]): ReadonlySet<AlarmCall> {
  const latest = new Map<string, AlarmCall[]>();
  const chattering = new Set<AlarmCall>();
  for (const call of calls) {
    const recent = [...(latest.get(call.name.id) ?? []), call].slice(-CHATTER);
    latest.set(call.name.id, recent);
    const [first] = recent;
    if (recent.length === CHATTER && first !== undefined && call.atMs - first.atMs <= MINUTE_MS)
      for (const one of recent) chattering.add(one);
  }
  return chattering;
}

/** Calls whose condition was over within 60 s, before anybody acknowledged, shelved or took the alarm out of service. */
export function fleetingCalls(calls: readonly AlarmCall[]): ReadonlySet<AlarmCall> {
  return new Set(
    calls.filter(
      ({ atMs, clearedMs, actedMs }) => clearedMs !== undefined && clearedMs - atMs <= MINUTE_MS && (actedMs ?? Infinity) > clearedMs,
    ),
  );
}
