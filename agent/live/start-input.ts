import type { Input } from '../pipeline.js';
import type { JournalInput, JsonObject } from '../store/journal.js';

const VERB = 'listening-begun';

/**
 * That the agent listens again after nobody did, as the journal keeps it: a recovery later on must not blame a signal for a silence that
 * nobody heard. @param timeMs - when it began
 */
export function startInput(timeMs: number): JournalInput {
  return { kind: 'operator', timeMs, id: `${VERB} ${String(timeMs)}`, action: { verb: VERB, by: 'takeline' } };
}

/** The same as the pipeline takes it; undefined where it is another action. */
export function readStart({ verb }: JsonObject, timeMs: number): Input | undefined {
  return verb === VERB ? { kind: 'interruption', timeMs } : undefined;
}
