import type { RequestMessage } from '../../agent/contract/messages.js';
import type { FindingOutput } from '../../agent/flow/output.js';
import type { LoggedEntry } from '../../agent/store/history.js';
import type { StoreReader } from '../../agent/store/store.js';
import type { StandInAgent } from './a-plant.js';

/** A move of the carriage that stands for two pitches taken out; a test says what is different. */
export function findingOf(different: Partial<FindingOutput> = {}): FindingOutput {
  const toMs = different.toMs ?? Date.parse('2026-03-02T07:00:00Z');
  return {
    ...{ kind: 'finding', id: 'line1-tu1-1', timeMs: toMs, fromMs: toMs - 3_600_000, toMs, conveyor: 'line1', takeup: 'tu1' },
    ...{ finding: 'chain-removed', moveMm: -76.1 },
    text: 'The carriage moved 76.1 mm inwards over a stop, and stayed there, heat taken off. That is what taking out 2 pitches does. No service entry within a day of it says why.',
    suggestion: { time: new Date(toMs).toISOString(), conveyor: 'line1', kind: 'chain-removed', pitches: 2 },
    ...different,
  };
}

/** An entry as the store has it. */
export function loggedOf(body: Readonly<Record<string, unknown>>): LoggedEntry {
  const { id, time, conveyor, takeup, kind } = body as { id: string; time: string; conveyor?: string; takeup?: string; kind: 'note' };
  const timeMs = Date.parse(time);
  return {
    ...{ id, timeMs, takenMs: timeMs, conveyor: conveyor ?? '', kind, body },
    ...(takeup === undefined ? {} : { takeup }),
  };
}

/** What an agent would keep of findings and entries. */
export class Service {
  findings: FindingOutput[] = [];
  entries: LoggedEntry[] = [];

  readonly history: Partial<StoreReader> = {
    findings: ({ conveyor, takeup }) =>
      Promise.resolve(this.findings.filter((one) => (conveyor ?? one.conveyor) === one.conveyor && (takeup ?? one.takeup) === one.takeup)),
    entries: () => Promise.resolve(this.entries),
  };

  /** Answers requests as an agent does, and keeps what they say. */
  readonly answer: StandInAgent['answer'] = (verb, message) => {
    if (verb === 'service-entry') this.record(message);
    else this.reject(message);
    return { ok: true, message: 'done' };
  };

  private record({ request, entry }: RequestMessage): void {
    const body = entry as Readonly<Record<string, unknown>>;
    const id = typeof body['id'] === 'string' ? body['id'] : request;
    if (!this.entries.some((one) => one.id === id))
      this.entries.push({ ...loggedOf({ ...body, id }), takenMs: Date.now() + this.entries.length });
  }

  private reject({ finding, by }: RequestMessage): void {
    this.findings = this.findings.map((one) => (one.id === finding ? { ...one, state: 'rejected', by } : one));
  }
}
