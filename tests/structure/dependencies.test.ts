import { existsSync, mkdirSync, mkdtempSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { type ICruiseResult, cruise } from 'dependency-cruiser';
import { afterAll, describe, expect, it } from 'vitest';
import cruiser from '../../.dependency-cruiser.mjs';
import { ROOT } from './source-tree.js';

/** All folders with code; the cruiser wants to be spared those that are not there. */
const CRUISED = ['agent', 'broker', 'web', 'tests'].filter((folder) => existsSync(join(ROOT, folder)));

const clean: string[] = [];
afterAll(() => clean.forEach((folder) => rmSync(folder, { recursive: true })));

async function cruised(baseDir: string, folders: string[]): Promise<ICruiseResult> {
  const { options, ...ruleSet } = cruiser;
  const { output } = await cruise(folders, { ...options, baseDir, ruleSet, validate: true });
  if (typeof output === 'string') throw new Error('dependency-cruiser answered in words, not with modules');
  return output;
}

function found({ summary }: ICruiseResult): readonly string[] {
  return summary.violations.map(({ from, to, rule }) => `${from} → ${to}: ${rule.name}`);
}

/** A small project with one fault. */
function project(files: Readonly<Record<string, string>>): string {
  const folder = realpathSync(mkdtempSync(join(tmpdir(), 'takeline-structure-')));
  clean.push(folder);
  const manifest = { name: 'example', type: 'module', dependencies: {}, devDependencies: { tool: '1.0.0' } };
  const all = {
    'package.json': JSON.stringify(manifest),
    'tsconfig.json': '{}',
    'node_modules/tool/package.json': '{ "name": "tool", "version": "1.0.0", "main": "index.js" }',
    'node_modules/tool/index.js': 'module.exports = 1;',
    ...files,
  };
  for (const [path, text] of Object.entries(all)) {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), text);
  }
  return folder;
}

describe('the modules', () => {
  it('form no cycle, lead nowhere astray, and run without development packages', async () => {
    const result = await cruised(ROOT, CRUISED);
    expect(result.summary.totalCruised).toBeGreaterThan(0);
    expect(result.modules.filter(({ source }) => source.startsWith('agent/')).length).toBeGreaterThan(0);
    expect(found(result)).toEqual([]);
  });
});

describe('is found', () => {
  it.each([
    [
      'a cycle',
      {
        'agent/a.ts': "import { b } from './b.js';\nexport const a = b;",
        'agent/b.ts': "import { a } from './a.js';\nexport const b = a;",
      },
      'no-cycles',
    ],
    [
      'a cycle of types',
      {
        'agent/a.ts': "import type { B } from './b.js';\nexport type A = B;",
        'agent/b.ts': "import type { A } from './a.js';\nexport type B = A;",
      },
      'no-cycles',
    ],
    ['an import that leads nowhere', { 'agent/a.ts': "import { b } from './gone.js';\nexport const a = b;" }, 'no-unresolvable'],
    [
      'a development package in the program',
      { 'agent/a.ts': "import tool from 'tool';\nexport const a = tool;" },
      'no-development-packages',
    ],
  ])('%s', async (_, files, rule) => {
    const result = await cruised(project(files), ['agent']);
    expect(found(result)).toEqual(expect.arrayContaining([expect.stringContaining(rule)]));
  });
});
