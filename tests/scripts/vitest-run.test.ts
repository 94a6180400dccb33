import { describe, expect, it } from 'vitest';
import { totalsOf } from '../../.scripts/vitest-run.mjs';

const report = { numPassedTests: 5, numFailedTests: 1, numPendingTests: 0, numTodoTests: 0, testResults: [] };

describe('the totals of a run', () => {
  it('are those of the report', () => {
    expect(totalsOf(report)).toEqual({ passed: 5, failed: 1, skipped: 0 });
  });

  it('count a file that could not be loaded as one failed test', () => {
    const notLoaded = { status: 'failed', assertionResults: [] };
    const loaded = { status: 'failed', assertionResults: [{}] };
    expect(totalsOf({ ...report, testResults: [notLoaded, loaded] })).toEqual({ passed: 5, failed: 2, skipped: 0 });
  });

  it('count tests yet to be written among the skipped', () => {
    expect(totalsOf({ ...report, numPendingTests: 2, numTodoTests: 1 })).toMatchObject({ skipped: 3 });
  });
});
