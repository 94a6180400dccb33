import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { tooDeepAt } from '../../agent/site/nesting.js';
import { fixtureSites } from './fixture-files.js';

const staircase = (deep: number, step: (depth: number) => string) => Array.from({ length: deep }, (_, depth) => step(depth)).join('\n');
const WAYS: readonly (readonly [string, (deep: number) => string])[] = [
  ['brackets', (deep) => '['.repeat(deep)],
  ['braces over lines', (deep) => '{a:\n'.repeat(deep)],
  ['items in one line', (deep) => `${'- '.repeat(deep - 1)}a`],
  ['keys and values told by signs', (deep) => `${'? '.repeat(deep - 1)}a`],
  ['a staircase of keys', (deep) => staircase(deep, (depth) => `${' '.repeat(depth)}a:`)],
  ['a staircase of items', (deep) => staircase(deep - 1, (depth) => `${'  '.repeat(depth)}- a:`)],
  ['a staircase after Windows’ line ends', (deep) => staircase(deep, (depth) => `${' '.repeat(depth)}a:`).replaceAll('\n', '\r\n')],
];

describe('a text that is nested too deep', () => {
  it.each(WAYS)('is told by %s', (_, text) => {
    expect(tooDeepAt(text(90))).toBeUndefined();
    expect(tooDeepAt(text(120))).toBeDefined();
  });

  it('is told with the place', () => {
    expect(tooDeepAt(`site:\n  ${'- '.repeat(200)}`)).toEqual({ line: 2, column: 2 + 2 * 99 + 1 });
    expect(tooDeepAt(`site: ${'['.repeat(200)}`)).toEqual({ line: 1, column: 6 + 101 });
  });

  it('is none of the sites', () => {
    for (const [name, text] of fixtureSites('good')) expect([name, tooDeepAt(text)]).toEqual([name, undefined]);
  });

  it('is none where levels end before others begin, however many there are', () => {
    const level = fc.constantFrom('a:\n  - b\n', '- - c\n', 'd: [[e]]\n', '# f: [\n# ]\n', '\n', '  \n');
    fc.assert(
      fc.property(fc.array(level, { maxLength: 400 }), (levels) => {
        expect(tooDeepAt(levels.join(''))).toBeUndefined();
      }),
    );
  });
});
