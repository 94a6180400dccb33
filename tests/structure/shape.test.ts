import { describe, expect, it } from 'vitest';
import { barrels, defaultExports, overlongFiles } from './shape.js';
import { type Source, type Violation, projectSources, report, sourceOf } from './source-tree.js';

const RULES: readonly [string, (sources: readonly Source[]) => readonly Violation[]][] = [
  ['barrels', barrels],
  ['default exports', defaultExports],
  ['overlong files', overlongFiles],
];

describe('the sources', () => {
  it.each(RULES)('have no %s', (_, rule) => {
    const sources = projectSources();
    expect(sources.length).toBeGreaterThan(0);
    expect(report(rule(sources))).toEqual([]);
  });
});

describe('is found', () => {
  it.each([
    ['a file that passes on everything', barrels, 'agent/units/a.ts', "export * from './b.js';\nexport const own = 1;"],
    ['a file that only passes on', barrels, 'agent/units/a.ts', "export { b } from './b.js';"],
    ['a file that only passes on types', barrels, 'agent/units/a.ts', "export type { B } from './b.js';"],
    ['an index that passes on', barrels, 'agent/units/index.ts', "export const own = 1;\nexport { b } from './b.js';"],
    ['a default export', defaultExports, 'agent/units/a.ts', 'export default 1;'],
    ['a function exported by default', defaultExports, 'agent/units/a.ts', 'export default function a() {}'],
    ['a class exported by default', defaultExports, 'web/client/a.tsx', 'export default class A {}'],
    ['a name exported as the default', defaultExports, 'agent/units/a.ts', 'const a = 1;\nexport { a as default };'],
    ['a file of 301 lines', overlongFiles, 'agent/units/a.ts', 'a();\n'.repeat(301)],
  ])('%s', (_, rule, path, text) => {
    expect(report(rule([sourceOf(path, text)]))).toEqual([expect.stringContaining(`${path}:`)]);
  });
});

describe('is allowed', () => {
  it.each([
    [
      'a module that passes on one thing beside its own',
      barrels,
      'agent/units/a.ts',
      "export type { B } from './b.js';\nexport const own = 1;",
    ],
    ['the default export of a configuration of a tool', defaultExports, 'tests/vitest.config.ts', 'export default {};'],
    ['a file of 300 lines', overlongFiles, 'agent/units/a.ts', 'a();\n'.repeat(300)],
  ])('%s', (_, rule, path, text) => {
    expect(report(rule([sourceOf(path, text)]))).toEqual([]);
  });
});
