import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Check } from 'typebox/value';
import { isMap, isScalar, isSeq, parse, parseDocument, stringify } from 'yaml';
import { readSite, type SiteReading } from '../../agent/site/read-site.js';
import { SITE_FILE } from '../../agent/site/schema.js';
import { fixtureSites, goodSite } from './fixture-files.js';

type Path = readonly (string | number)[];

/** Sites without aliases: a part cut out of one of these is cut out once. */
const SITES = [...fixtureSites('good')].filter(([name]) => name !== 'two-takeups').map(([, text]) => text);

/** The path of every key in a YAML text. */
function keysOf(text: string): readonly Path[] {
  const found: Path[] = [];
  const walk = (node: unknown, path: Path): void => {
    if (isMap(node)) {
      for (const { key, value } of node.items) {
        const inner = [...path, isScalar(key) ? String(key.value) : ''];
        found.push(inner);
        walk(value, inner);
      }
    } else if (isSeq(node))
      node.items.forEach((item, index) => {
        walk(item, [...path, index]);
      });
  };
  walk(parseDocument(text).contents, []);
  return found;
}

const siteAndKey = fc.constantFrom(...SITES).chain((text) => fc.tuple(fc.constant(text), fc.constantFrom(...keysOf(text))));

/** The lines of a text are numbered from 1; a fault must point at one of them. */
function pointsIntoTheText(reading: SiteReading, text: string): boolean {
  return (
    reading.ok ||
    (reading.faults.length > 0 && reading.faults.every(({ line, column }) => line >= 1 && line <= text.split('\n').length && column >= 1))
  );
}

describe('whatever is done to a site file', () => {
  it('is refused on the line of a key whose name is changed to no key of the site', () => {
    fc.assert(
      fc.property(siteAndKey, fc.stringMatching(/^[a-z_-]{1,12}$/u), ([text, path], ending) => {
        const document = parseDocument(text);
        const holder = document.getIn(path.slice(0, -1), true) ?? document.contents;
        const pair = isMap(holder) ? holder.items.find(({ key }) => isScalar(key) && key.value === path.at(-1)) : undefined;
        if (!isScalar(pair?.key)) throw new Error('the path leads to a key');
        const renamed = `${String(path.at(-1))}${ending}zz`;
        pair.key.value = renamed;
        const altered = document.toString();
        const reading = readSite(altered, 'site.yaml');
        const lines = altered.split('\n');
        const hit = reading.ok ? undefined : reading.faults.find(({ key }) => key.endsWith(renamed));
        expect(hit?.rule).toBe('unknown-key');
        expect(lines[(hit?.line ?? 0) - 1]).toContain(renamed);
        expect(pointsIntoTheText(reading, altered)).toBe(true);
      }),
    );
  });

  it('is refused with a line, or read with a default, when a key is taken out', () => {
    fc.assert(
      fc.property(siteAndKey, ([text, path]) => {
        const document = parseDocument(text);
        document.deleteIn(path);
        const altered = document.toString();
        const reading = readSite(altered, 'site.yaml');
        expect(pointsIntoTheText(reading, altered)).toBe(true);
        if (!Check(SITE_FILE, parse(altered))) expect(reading.ok).toBe(false);
      }),
    );
  });

  it('never fails on any value put in the place of another', () => {
    fc.assert(
      fc.property(siteAndKey, fc.jsonValue(), ([text, path], value) => {
        const document = parseDocument(text);
        document.setIn(path, document.createNode(value));
        const altered = document.toString();
        const reading = readSite(altered, 'site.yaml');
        expect(pointsIntoTheText(reading, altered)).toBe(true);
        if (!Check(SITE_FILE, parse(altered))) expect(reading.ok).toBe(false);
      }),
      { numRuns: 300 },
    );
  });

  it('never fails on a piece torn out or pasted in', () => {
    const text = goodSite('full');
    fc.assert(
      fc.property(fc.nat(text.length), fc.nat(40), fc.string({ unit: 'grapheme', maxLength: 8 }), (at, gone, pasted) => {
        const altered = text.slice(0, at) + pasted + text.slice(at + gone);
        expect(pointsIntoTheText(readSite(altered, 'site.yaml'), altered)).toBe(true);
      }),
      { numRuns: 300 },
    );
  });

  it('never fails on a file that is no site at all', () => {
    const yamlish = fc.array(
      fc.constantFrom('- ', ': ', '[', ']', '{', '}', 'a', '&a ', '*a', '|', '"', '#', '\n', '  ', '!', '? ', '%', '---', ','),
      { maxLength: 60 },
    );
    fc.assert(
      fc.property(
        fc.oneof(
          fc.string({ unit: 'binary' }),
          fc.jsonValue().map((value) => stringify(value)),
          yamlish.map((parts) => parts.join('')),
        ),
        (text) => {
          const reading = readSite(text, 'site.yaml');
          expect(reading.ok).toBe(false);
          expect(pointsIntoTheText(reading, text)).toBe(true);
        },
      ),
      { numRuns: 500 },
    );
  });

  it('reads the same site however its keys are ordered', () => {
    fc.assert(
      fc.property(fc.constantFrom(...SITES), fc.array(fc.nat(97), { minLength: 5 }), (text, chances) => {
        let drawn = 0;
        const shuffled = (value: unknown): unknown => {
          if (Array.isArray(value)) return value.map(shuffled);
          if (typeof value !== 'object' || value === null) return value;
          const entries = Object.entries<unknown>(value as Record<string, unknown>).map(([key, inner]) => ({
            key,
            inner: shuffled(inner),
            rank: chances[drawn++ % chances.length] ?? 0,
          }));
          return Object.fromEntries(entries.toSorted((a, b) => a.rank - b.rank).map(({ key, inner }) => [key, inner]));
        };
        expect(readSite(stringify(shuffled(parse(text))), 'site.yaml')).toEqual(readSite(text, 'site.yaml'));
      }),
      { numRuns: 30 },
    );
  });
});

describe('a file made to exhaust its reader', () => {
  it.each([
    ['brackets without end', '['.repeat(200_000)],
    ['braces without end', '{a: '.repeat(50_000)],
    ['lists in one line', '- '.repeat(5000)],
    ['a staircase of keys', Array.from({ length: 1500 }, (_, depth) => `${' '.repeat(depth)}a:`).join('\n')],
    [
      'aliases that multiply',
      [
        'a: &a [x]',
        ...Array.from(
          { length: 30 },
          (_, n) =>
            `b${String(n)}: &b${String(n)} [${Array(9)
              .fill(n === 0 ? '*a' : `*b${String(n - 1)}`)
              .join(', ')}]`,
        ),
      ].join('\n'),
    ],
    ['an anchor that holds itself', 'site: &a { id: *a }'],
  ])('%s: is refused like any other', (_, text) => {
    const reading = readSite(text, 'site.yaml');
    expect(reading.ok).toBe(false);
    expect(pointsIntoTheText(reading, text)).toBe(true);
  });
});
