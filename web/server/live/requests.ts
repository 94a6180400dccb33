import type { AnswerMessage } from '../../../agent/contract/messages.js';

/** How a request to the agent ended. */
export type RequestOutcome =
  { readonly kind: 'answered'; readonly answer: AnswerMessage } | { readonly kind: 'no-answer' } | { readonly kind: 'broker-away' };

/**
 * Asks the agent to do something.
 *
 * @param verb - the last part of the topic
 * @param request - by which the agent knows the same request again; a new one where none is given
 */
export type AskAgent = (verb: string, by: string, fields: Readonly<Record<string, unknown>>, request?: string) => Promise<RequestOutcome>;

/** Requests that wait for their answer, by their id. */
export class PendingRequests {
  private readonly waiting = new Map<string, (outcome: RequestOutcome) => void>();

  /** @returns the outcome, which is `no-answer` after the time given */
  wait(request: string, timeoutMs: number): Promise<RequestOutcome> {
    return new Promise((resolve) => {
      const timer = setTimeout(() => this.settle(request, { kind: 'no-answer' }), timeoutMs);
      this.waiting.set(request, (outcome) => {
        clearTimeout(timer);
        resolve(outcome);
      });
    });
  }

  /** An answer to a request that waits no longer, or was another's, is let go. */
  settle(request: string, outcome: RequestOutcome): void {
    const resolve = this.waiting.get(request);
    this.waiting.delete(request);
    resolve?.(outcome);
  }

  settleAll(outcome: RequestOutcome): void {
    for (const request of [...this.waiting.keys()]) this.settle(request, outcome);
  }
}
