import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { parseArgs } from 'node:util';
import { build } from 'vite';
import { runTool } from './child.mjs';
import { ROOT } from './root.mjs';

const OUT = '.cache/score';
const KEPT = 'DEVELOPERS.md';
const HELP = `npm run score [-- --write] [-- PLANT …]

Lets the simulated plants of tests/score live their days, scores the pipeline against the truth and prints the table.
  --write   keeps the table in ${KEPT} (only of the whole set)
  PLANT     only the plants whose name holds this word`;

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: { write: { type: 'boolean', default: false }, help: { type: 'boolean', default: false } },
});

if (values.help) console.log(HELP);
else if (values.write && positionals.length > 0) {
  console.error('Only the table of the whole set is kept: leave the names of plants out.');
  process.exitCode = 2;
} else await run();

async function run() {
  // Bundled, the sources run as fast as what is built.
  await build({
    configFile: false,
    root: ROOT,
    logLevel: 'warn',
    build: { ssr: 'tests/score/main.ts', outDir: OUT, target: 'node20', minify: false },
  });
  const { score } = await import(pathToFileURL(join(ROOT, OUT, 'main.js')).href);
  const table = score(positionals, (/** @type {string} */ line) => console.error(line));
  console.log(table);
  if (values.write) await keep(table);
}

/** @param {string} table */
async function keep(table) {
  const path = join(ROOT, KEPT);
  const text = readFileSync(path, 'utf8');
  const [begin, end] = ['<!-- score -->', '<!-- /score -->'];
  const [from, to] = [text.indexOf(begin), text.indexOf(end)];
  if (from < 0 || to < from) throw new Error(`${KEPT} has no place for the score, ${begin} … ${end}`);
  writeFileSync(path, `${text.slice(0, from + begin.length)}\n\n${table}\n\n${text.slice(to)}`);
  await runTool('prettier/bin/prettier.cjs', ['--write', '--log-level', 'warn', KEPT]);
}
