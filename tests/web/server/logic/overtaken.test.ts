import { describe, expect, it } from 'vitest';
import { Overtaken } from '../../../../web/server/logic/overtaken.js';

describe('what a broker keeps for whoever subscribes', () => {
  it('is taken where nothing was heard of its topic yet, and whatever is heard live is', () => {
    const overtaken = new Overtaken();
    expect(overtaken.isOld('a', true)).toBe(false);
    expect(overtaken.isOld('a', false)).toBe(false);
    expect(overtaken.isOld('a', false)).toBe(false);
  });

  it('is old where something newer came live on the same connection', () => {
    const overtaken = new Overtaken();
    expect(overtaken.isOld('a', false)).toBe(false);
    expect(overtaken.isOld('a', true)).toBe(true);
    expect(overtaken.isOld('b', true)).toBe(false);
  });

  it('is taken again on the next connection', () => {
    const overtaken = new Overtaken();
    overtaken.isOld('a', false);
    overtaken.begin();
    expect(overtaken.isOld('a', true)).toBe(false);
  });
});
