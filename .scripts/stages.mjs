import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { build } from './build.mjs';
import { run, runTool } from './child.mjs';
import { ROOT } from './root.mjs';
import { runVitest } from './vitest-run.mjs';

/**
 * @typedef {{ readonly ok: boolean, readonly tests?: import('./vitest-run.mjs').Totals }} StageResult
 *
 * @typedef {object} Stage
 * @property {string} name - what selects it on the command line
 * @property {string} about
 * @property {() => Promise<StageResult>} run
 */

/**
 * What `npm test` runs after installing, in this order: what is cheap and says most comes first.
 *
 * @type {readonly Stage[]}
 */
export const STAGES = [
  {
    name: 'build',
    about: 'compiles the program (and so checks its types) and bundles the screens',
    run: async () => ({ ok: await build() }),
  },
  { name: 'format', about: 'prettier', run: () => tool('prettier/bin/prettier.cjs', ['--check', '--log-level', 'warn', '.']) },
  {
    name: 'lint',
    about: 'eslint with types',
    run: () => tool('eslint/bin/eslint.js', ['--config', '.eslint.config.mjs', '--max-warnings', '0', '.']),
  },
  { name: 'types', about: 'the compiler on tests, scripts and web client', run: checkTypes },
  { name: 'unused', about: 'knip: files, exports and packages nobody uses', run: () => tool('knip/bin/knip.js', ['--no-progress']) },
  { name: 'structure', about: 'import rules, cycles, shape of files', run: () => vitest('structure') },
  { name: 'unit', about: 'what each module promises', run: () => vitest('unit') },
  { name: 'properties', about: 'what holds for any input', run: () => vitest('properties') },
  { name: 'published', about: 'values from textbooks and standards', run: () => vitest('published') },
  { name: 'suites', about: 'one suite over all twins', run: () => vitest('suites') },
  { name: 'integration', about: 'the program as it runs, with a foreign broker', run: () => vitest('integration', 'mosquitto.mjs') },
  { name: 'browser', about: 'the screens in a real browser', run: () => vitest('browser', 'browser.mjs') },
];

/**
 * @param {string} file - below node_modules
 * @param {readonly string[]} args
 * @returns {Promise<StageResult>}
 */
async function tool(file, args) {
  return { ok: (await runTool(file, args)).code === 0 };
}

/** @returns {Promise<StageResult>} */
async function checkTypes() {
  let ok = true;
  for (const part of ['tests', 'web/client']) {
    const notes = `.cache/types-${part.replace('/', '-')}.tsbuildinfo`;
    const project = `${part}/tsconfig.json`;
    if (!existsSync(join(ROOT, project))) throw new Error(`${project} is missing`);
    ok = (await tool('typescript/bin/tsc', ['-p', project, '--noEmit', '--incremental', '--tsBuildInfoFile', notes])).ok && ok;
  }
  return { ok };
}

/**
 * @param {string} project - of tests/vitest.config.ts
 * @param {string} [needs] - the script that finds or installs what the tests need from outside npm; without it they have failed
 * @returns {Promise<StageResult>}
 */
async function vitest(project, needs) {
  if (needs && (await run(process.execPath, [join(ROOT, '.scripts', needs)])).code !== 0) return { ok: false };
  return runVitest(project);
}
