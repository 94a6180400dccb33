import { describe, expect, it } from 'vitest';
import { isPure } from './areas.js';
import { impurities } from './pure-parts.js';
import { projectSources, report, sourceOf } from './source-tree.js';

const judged = (text: string, path = 'agent/flow/ledger/a.ts'): readonly string[] => report(impurities([sourceOf(path, text)]));

describe('the pure parts', () => {
  it('touch neither the world, nor the clock, nor chance', () => {
    const pure = projectSources().filter(({ path }) => isPure(path));
    expect(pure.length).toBeGreaterThan(0);
    expect(report(impurities(pure))).toEqual([]);
  });

  it.each([
    ['agent/units/a.ts', true],
    ['agent/flow/page/a.ts', true],
    ['agent/pipeline.ts', true],
    ['agent/site/schema.ts', true],
    ['agent/site/read-site-file.ts', false],
    ['web/client/logic/a.ts', true],
    ['web/client/charts/logic/a.ts', true],
    ['web/client/parts/a.ts', false],
    ['broker/logic/a.ts', true],
    ['agent/io/a.ts', false],
  ])('%s is one of them: %s', (path, pure) => {
    expect(isPure(path)).toBe(pure);
  });
});

describe('is found in a pure part', () => {
  it.each([
    ['a module of Node', "import { readFileSync } from 'node:fs';"],
    ['a module of Node by its old name', "import { readFileSync } from 'fs';"],
    ['a type of Node', "import type { Readable } from 'node:stream';"],
    ['the clock', 'const now = Date.now();'],
    ['the clock in other clothes', 'const now = new Date();'],
    ['the clock as words', 'const now = Date();'],
    ['the clock passed on', 'const clock = Date.now;'],
    ['chance', 'const x = Math.random();'],
    ['a timer', 'setTimeout(() => undefined, 1);'],
    ['the network', 'await fetch(address);'],
    ['the environment', "const home = process.env['HOME'];"],
    ['the terminal', 'console.log(1);'],
    ['a page', 'document.title = name;'],
    ['the world by a back door', "globalThis['setTimeout'](run, 1);"],
  ])('%s', (_, text) => {
    expect(judged(text)).toEqual([expect.stringContaining('agent/flow/ledger/a.ts:1 ')]);
  });
});

describe('is no impurity', () => {
  it.each([
    ['a time that was handed in', 'export const day = (timeMs: number) => new Date(timeMs);'],
    ['a member of that name', 'export const a = (x: X) => x.process + x.document;'],
    ['a field of that name', 'export const a = { process: 1 }; export interface A { readonly fetch: number }'],
    ['a parameter of that name', 'export const a = (document: string) => document.length;'],
    ['the calendar', 'export const a = Date.UTC(2026, 0, 1);'],
  ])('%s', (_, text) => {
    expect(judged(text)).toEqual([]);
  });

  it('what a part does that is not pure', () => {
    expect(judged('setTimeout(() => undefined, 1);', 'agent/io/a.ts')).toEqual([]);
  });
});
