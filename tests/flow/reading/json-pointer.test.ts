import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { follow, pointerTokens } from '../../../agent/flow/reading/json-pointer.js';

const DOCUMENT: unknown = JSON.parse(
  String.raw`{"foo":["bar","baz"],"":0,"a/b":1,"c%d":2,"e^f":3,"g|h":4,"i\\j":5,"k\"l":6," ":7,"m~n":8}`,
);

const led = (document: unknown, pointer: string): unknown => {
  const tokens = pointerTokens(pointer);
  return tokens === undefined ? 'no pointer' : follow(document, tokens);
};

describe('a JSON Pointer', () => {
  // [P] RFC 6901 §5: the example document and what each pointer leads to.
  test.each([
    ['', DOCUMENT],
    ['/foo', ['bar', 'baz']],
    ['/foo/0', 'bar'],
    ['/', 0],
    ['/a~1b', 1],
    ['/c%d', 2],
    ['/e^f', 3],
    ['/g|h', 4],
    [String.raw`/i\j`, 5],
    ['/k"l', 6],
    ['/ ', 7],
    ['/m~0n', 8],
  ])('%j leads to what the standard says', (pointer, value) => {
    expect(led(DOCUMENT, pointer)).toEqual(value);
  });

  test.each(['foo', '#/foo', '/a~2b', '/a~'])('%j is none', (pointer) => {
    expect(pointerTokens(pointer)).toBeUndefined();
  });

  // [P] RFC 6901 §4: no leading zeros in an index, and "-" names an element that is not there.
  test.each(['/foo/00', '/foo/01', '/foo/-', '/foo/2', '/foo/-1', '/foo/length', '/foo/0/length', '/nothing/here'])(
    '%j leads nowhere',
    (pointer) => {
      expect(led(DOCUMENT, pointer)).toBeUndefined();
    },
  );

  it('does not reach what every object inherits', () => {
    for (const pointer of ['/constructor', '/__proto__', '/toString', '/foo/constructor']) expect(led(DOCUMENT, pointer)).toBeUndefined();
  });

  it('leads to every member of any document, whatever its name', () => {
    const escape = (name: string): string => name.replaceAll('~', '~0').replaceAll('/', '~1');
    fc.assert(
      fc.property(fc.string(), fc.string(), fc.jsonValue(), (outer, inner, value) => {
        const document: unknown = JSON.parse(JSON.stringify(Object.fromEntries([[outer, [Object.fromEntries([[inner, value]])]]])));
        expect(led(document, `/${escape(outer)}/0/${escape(inner)}`)).toEqual(JSON.parse(JSON.stringify(value)));
      }),
    );
  });
});
