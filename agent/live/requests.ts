import { parseServiceEntry } from '../contract/parse-service-entry.js';
import { applyCorrections } from '../contract/service-entry-corrections.js';
import { serviceEntryToJson, type ServiceEntry } from '../contract/service-entry.js';
import type { RequestMessage } from '../contract/messages.js';
import type { Pipeline } from '../pipeline.js';
import { ALARM_VERBS, askAlarm, isAlarmVerb } from './alarm-requests.js';
import type { Asked, RequestTime } from './asked.js';

/**
 * Reads a request by its verb. Nothing is changed yet: what it asks for is journalled first.
 * @param known - ids of what is in the journal: delivered again, it is not refused for having been done
 */
export function readVerb(pipeline: Pipeline, verb: string, message: RequestMessage, now: RequestTime, known: ReadonlySet<string>): Asked {
  if (isAlarmVerb(verb)) return askAlarm(pipeline, verb, message, now, known.has(message.request));
  switch (verb) {
    case 'reject-finding':
      return rejectFinding(pipeline, message, now, known);
    case 'service-entry':
      return serviceEntry(pipeline, message, now, known);
    default:
      return {
        ok: false,
        message: `the agent does not know how to ${verb}: it takes ${ALARM_VERBS.join(', ')}, service-entry, reject-finding, signals and site`,
      };
  }
}

function rejectFinding(pipeline: Pipeline, message: RequestMessage, now: RequestTime, known: ReadonlySet<string>): Asked {
  const { conveyor, finding } = message;
  const way = pipeline.ways.find((candidate) => candidate.conveyor.id === conveyor);
  if (way === undefined || typeof conveyor !== 'string' || typeof finding !== 'string') {
    return { ok: false, message: 'conveyor and finding must name the finding to reject' };
  }
  if (!known.has(message.request) && !way.account.steps.mayReject(finding)) {
    return { ok: false, message: 'no such finding is open: an entry may explain it by now, or somebody may have been quicker' };
  }
  const action = { verb: 'reject-finding', conveyor, finding, by: message.by };
  return { ok: true, input: { kind: 'operator', timeMs: now.dataMs, id: message.request, action }, done: 'rejected' };
}

function serviceEntry(pipeline: Pipeline, message: RequestMessage, now: RequestTime, known: ReadonlySet<string>): Asked {
  const parsed = parseServiceEntry(message['entry'], pipeline.site);
  if (!parsed.ok) return parsed;
  // The request's own name, so that the same request delivered again is the same entry.
  const id = parsed.entry.id ?? message.request;
  const entry = { ...parsed.entry, id, by: parsed.entry.by ?? message.by };
  if (entry.timeMs > now.wallMs) return { ok: false, message: 'the entry lies in the future: give the time at which the work was done' };
  const refusal = known.has(id) ? undefined : refusalOf(pipeline, entry);
  if (refusal !== undefined) return { ok: false, message: refusal };
  return {
    ok: true,
    input: {
      kind: 'service',
      timeMs: now.dataMs,
      entry: {
        id,
        timeMs: entry.timeMs,
        conveyor: entry.conveyor ?? '',
        ...(entry.takeup === undefined ? {} : { takeup: entry.takeup }),
        kind: entry.kind,
        body: serviceEntryToJson(entry),
      },
    },
    done: 'recorded',
  };
}

/** Why an entry cannot be taken in beside those there are, on whichever conveyor; undefined where it can. */
function refusalOf(pipeline: Pipeline, entry: ServiceEntry): string | undefined {
  const ledgers = pipeline.ways.map(({ account }) => account.ledger);
  if (entry.kind !== 'correction') return ledgers.find(({ conveyor }) => conveyor.id === entry.conveyor)?.refuse(entry);
  // It need not say whose entry it corrects.
  const { refused } = applyCorrections([...ledgers.flatMap(({ taken }) => taken), entry], pipeline.site);
  const idle = refused.find((one) => one.entry.id === entry.id)?.message;
  return idle ?? ledgers.map((ledger) => ledger.refuse(entry)).find((why) => why !== undefined);
}
