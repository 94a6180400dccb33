import { describe, expect, it } from 'vitest';
import { findingStateWords, mayBeRecorded } from '../../../../web/client/logic/finding-state.js';

const suggestion = { kind: 'chain-removed', pitches: 2 };

describe('a finding', () => {
  it('that is open and suggests an entry waits for a person', () => {
    expect(findingStateWords({ state: 'open', suggestion })).toBe('open: say what it was');
    expect(mayBeRecorded({ state: 'open', suggestion })).toBe(true);
  });

  it('that suggests nothing has nothing to click', () => {
    expect(findingStateWords({ state: 'open' })).toBe('open');
    expect(mayBeRecorded({ state: 'open' })).toBe(false);
  });

  it('that somebody has judged says who, and is not judged again', () => {
    expect(findingStateWords({ state: 'explained', by: 'kari', suggestion })).toBe('recorded by kari');
    expect(findingStateWords({ state: 'explained' })).toBe('accounted for');
    expect(findingStateWords({ state: 'rejected', by: 'ola', suggestion })).toBe('not so, says ola');
    expect(findingStateWords({ state: 'rejected' })).toBe('not so');
    expect(mayBeRecorded({ state: 'rejected', suggestion })).toBe(false);
  });
});
