import { describe, expect, it } from 'vitest';
import { isKnown, knownOr, mapKnown, unknown } from '../../agent/units/unknown.js';

describe('a value that is not known', () => {
  it('says why, and is no number', () => {
    expect(unknown('signal-lost')).toEqual({ unknown: 'signal-lost' });
    expect(isKnown(unknown('signal-lost'))).toBe(false);
    expect(isKnown(0)).toBe(true);
  });

  it('is one frozen thing for each reason, so that states compare cheaply', () => {
    expect(unknown('standing')).toBe(unknown('standing'));
    expect(unknown('standing')).not.toBe(unknown('at-stop'));
    expect(Object.isFrozen(unknown('standing'))).toBe(true);
  });

  it('passes on the first reason met', () => {
    const add = (a: number, b: number): number => a + b;
    expect(mapKnown(add, 1, 2)).toBe(3);
    expect(mapKnown(add, 1, unknown('signal-fault'))).toEqual({ unknown: 'signal-fault' });
    expect(mapKnown(add, unknown('never-read'), unknown('signal-fault'))).toEqual({ unknown: 'never-read' });
  });

  it('leaves a blank in a file', () => {
    expect(knownOr(unknown('not-settled'), null)).toBeNull();
    expect(knownOr(0, null)).toBe(0);
  });
});
