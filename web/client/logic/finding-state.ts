import type { FindingAnswer } from '../../server/logic/work-answers.js';

/** What became of a finding, in words. */
export function findingStateWords({ state, by, suggestion }: Pick<FindingAnswer, 'state' | 'by' | 'suggestion'>): string {
  switch (state) {
    case 'open':
      return suggestion === undefined ? 'open' : 'open: say what it was';
    case 'explained':
      return by === undefined ? 'accounted for' : `recorded by ${by}`;
    case 'rejected':
      return by === undefined ? 'not so' : `not so, says ${by}`;
  }
}

/** Whether a person may record what a finding suggests with one click. */
export function mayBeRecorded({ state, suggestion }: Pick<FindingAnswer, 'state' | 'suggestion'>): boolean {
  return state === 'open' && suggestion !== undefined;
}

/** Whether a person may say that it was not what a finding suggests: the agent keeps that of the carriage's lasting steps. */
export function mayBeRejected(finding: Pick<FindingAnswer, 'state' | 'suggestion' | 'finding'>): boolean {
  return mayBeRecorded(finding) && (finding.finding === 'chain-removed' || finding.finding === 'chain-inserted');
}
