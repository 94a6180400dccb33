import type { RequestOutcome } from '../live/requests.js';
import { ProblemError } from './problem.js';

/**
 * Holds a request to the agent to having been done.
 *
 * @param notDone - what is then not so: `Nothing is written down`
 * @param willShow - where one sees whether it was done, where the agent does not say
 * @throws ProblemError where it was refused, or nobody knows
 */
export function mustBeDone(outcome: RequestOutcome, notDone: string, willShow: string): void {
  if (outcome.kind === 'broker-away') throw new ProblemError('broker-away', `${notDone}; try again when the connection is back.`);
  if (outcome.kind === 'no-answer') throw new ProblemError('agent-no-answer', `${willShow}; trying again does no harm.`);
  if (!outcome.answer.ok) throw new ProblemError('refused-by-agent', sentence(outcome.answer.message));
}

/** The agent says why in half a sentence, made to follow a colon. */
export function sentence(words: string): string {
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}${/[.!?]$/.test(words) ? '' : '.'}`;
}
