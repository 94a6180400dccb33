import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { SignalNames } from '../../agent/recording/signal-names.js';

const COMMA = 0x2c;
const NAMES = ['enamel/tu1/left/position', 'enamel/tu1/right/position', 'enamel/tu2/left/position', 'enamel/running', 'é/ø'];

function findIn(names: SignalNames, name: string): readonly [number, number] {
  const bytes = Buffer.from(`x${name},y`);
  const end = bytes.length - 2;
  return [names.find(bytes, 1, end), names.findBefore(bytes, 1, bytes.length, COMMA)];
}

describe('the names of the site', () => {
  it('are each found by their bytes', () => {
    const names = new SignalNames(NAMES);
    for (const round of [NAMES, NAMES.toReversed(), NAMES]) {
      expect(round.map((name) => findIn(names, name))).toEqual(round.map((name) => [NAMES.indexOf(name), NAMES.indexOf(name)]));
    }
  });

  it.each(['', 'enamel', 'enamel/tu1/left/positio', 'enamel/tu1/left/positions', 'Enamel/running', 'enamel/tu1/left/positioN'])(
    'are not found in "%s", which is near one at most',
    (name) => {
      expect(findIn(new SignalNames(NAMES), name)).toEqual([-1, -1]);
    },
  );

  it('are not found where the bytes end before the delimiter', () => {
    const bytes = Buffer.from('enamel/running,');
    expect(new SignalNames(NAMES).findBefore(bytes, 0, bytes.length - 1, COMMA)).toBe(-1);
  });

  it('may be none at all', () => {
    expect(findIn(new SignalNames([]), 'enamel/running')).toEqual([-1, -1]);
    expect(findIn(new SignalNames([]), '')).toEqual([-1, -1]);
  });

  it('are found among any others, in any order of asking', () => {
    const name = fc.string({ unit: fc.constantFrom('a', 'b', '/'), minLength: 1, maxLength: 5 });
    fc.assert(
      fc.property(fc.uniqueArray(name, { maxLength: 60 }), fc.array(name, { maxLength: 80 }), (known, asked) => {
        const names = new SignalNames(known);
        for (const one of [...asked, ...known]) expect(findIn(names, one)).toEqual([known.indexOf(one), known.indexOf(one)]);
      }),
    );
  });
});
