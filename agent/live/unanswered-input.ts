import type { UnansweredOut } from '../flow/page/page-output.js';
import type { Input } from '../pipeline.js';
import type { JournalInput, JsonObject } from '../store/journal.js';

const VERB = 'page-unanswered';

/** That nobody took a page, or somebody now has, as the journal keeps it; the same again has the same id. @param dataMs - on the data's clock */
export function unansweredInput({ place, up, call, openMs, allowedMs }: UnansweredOut, dataMs: number): JournalInput | undefined {
  const { conveyor, takeup, signal } = place;
  // The site's own alarm, that the agent is silent, is not the agent's to raise.
  if (conveyor === undefined) return undefined;
  const where = { conveyor, ...(takeup === undefined ? {} : { takeup }), ...(signal === undefined ? {} : { signal }) };
  const seconds = { openS: Math.round(openMs / 1000), allowedS: Math.round(allowedMs / 1000) };
  const action = { verb: VERB, ...where, up, ...seconds, by: 'takeline' };
  return { kind: 'operator', timeMs: dataMs, id: `${VERB} ${up ? 'up' : 'down'} ${call}`, action };
}

/** The same as the pipeline takes it; undefined where it is another action. */
export function readUnanswered({ verb, conveyor, takeup, signal, up, openS, allowedS }: JsonObject, timeMs: number): Input | undefined {
  if (verb !== VERB || typeof conveyor !== 'string' || typeof up !== 'boolean') return undefined;
  return {
    ...{ kind: VERB, timeMs, conveyor, up, openS: Number(openS), allowedS: Number(allowedS) },
    ...(typeof takeup === 'string' ? { takeup } : {}),
    ...(typeof signal === 'string' ? { signal } : {}),
  };
}
