import { describe, expect, it } from 'vitest';
import { projectSources, report, sourceOf } from './source-tree.js';
import { unsoundTests } from './test-shape.js';

const judged = (text: string, path = 'tests/units/a.test.ts'): readonly string[] => report(unsoundTests([sourceOf(path, text)]));

describe('the tests', () => {
  it('all run, assert something, and wait for no clock', () => {
    // A benchmark is no test: it measures on the clock.
    const tests = projectSources().filter(({ path }) => path.startsWith('tests/') && !path.startsWith('tests/bench/'));
    expect(tests.length).toBeGreaterThan(0);
    expect(report(unsoundTests(tests))).toEqual([]);
  });
});

describe('is found', () => {
  it.each([
    ['a test that is skipped', "it.skip('a', () => { expect(1).toBe(1); });"],
    ['a test that keeps others from running', "test.only('a', () => { expect(1).toBe(1); });"],
    ['a group that is skipped', "describe.skip('a', () => {});"],
    ['a test to be written', "it.todo('a');"],
    ['a test that asserts nothing', "it('a', () => { run(); });"],
    ['one of many that asserts nothing', "it.each([1, 2])('a', (x) => { run(x); });"],
    ['a test that sleeps', "it('a', async () => { await new Promise((done) => setTimeout(done, 10)); expect(1).toBe(1); });"],
    ['a test that sleeps by promise', "import { setTimeout as wait } from 'node:timers/promises';"],
  ])('%s', (_, text) => {
    expect(judged(text)).toEqual([expect.stringContaining('tests/units/a.test.ts:1 ')]);
  });

  it.each(['tests/units/test1.test.ts', 'tests/units/02.test.ts', 'tests/units/case-3.test.ts'])('a numbered file: %s', (path) => {
    expect(judged('', path)).toEqual([expect.stringContaining('is named by a number')]);
  });
});

describe('is allowed', () => {
  it.each([
    ['a plain test', "it('a', () => { expect(1).toBe(1); });"],
    ['a property', "it('a', () => { fc.assert(fc.property(fc.integer(), (x) => x === x)); });"],
    ['a helper of the file that asserts', "function same(a) { expect(a).toBe(1); }\nit('a', () => { same(1); });"],
    ['waiting for a condition', "it('a', async () => { await expect.poll(() => 1).toBe(1); });"],
  ])('%s', (_, text) => {
    expect(judged(text)).toEqual([]);
  });

  it('a number that is part of the name', () => {
    expect(judged('', 'tests/flow/sample/ne43.test.ts')).toEqual([]);
  });

  it('patience where real servers run', () => {
    expect(judged('setTimeout(done, 10);', 'tests/integration/a.ts')).toEqual([]);
  });
});
