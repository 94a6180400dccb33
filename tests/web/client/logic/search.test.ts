import { describe, expect, it } from 'vitest';
import { matches } from '../../../../web/client/logic/search.js';

const KNOWN_BY = ['Enamel furnace line', 'enamel', 'tu1', 'Säule C14, nach dem Antrieb'];

describe('searching take-ups', () => {
  it.each(['', ' ', 'furnace', 'FURN', 'tu1 enamel', 'saule', 'C14 line'])('%j finds it', (query) => {
    expect(matches(query, KNOWN_BY)).toBe(true);
  });

  it.each(['paint', 'furnace tu2'])('%j does not', (query) => {
    expect(matches(query, KNOWN_BY)).toBe(false);
  });
});
