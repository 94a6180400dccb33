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

/** Whether a person may record what a finding suggests with one click, or say that it was not so. */
export function mayBeRecorded({ state, suggestion }: Pick<FindingAnswer, 'state' | 'suggestion'>): boolean {
  return state === 'open' && suggestion !== undefined;
}
