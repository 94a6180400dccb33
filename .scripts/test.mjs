import { ensureInstalled } from './setup.mjs';
import { STAGES } from './stages.mjs';

/** @typedef {{ readonly name: string, readonly seconds: number } & import('./stages.mjs').StageResult} Done */

const HELP = `Runs every check of the project, or the stages named.

  npm test                     all stages, in this order
  npm test -- STAGE …          build and these stages
  npm test -- --help           this text

Stages:
${STAGES.map(({ name, about }) => `  ${name.padEnd(13)}${about}`).join('\n')}

One test file while working on it: npx vitest run --config tests/vitest.config.ts tests/PATH
`;

process.exitCode = await main(process.argv.slice(2));

/** @param {readonly string[]} args */
async function main(args) {
  if (args.includes('--help') || args.includes('-h')) {
    process.stdout.write(HELP);
    return 0;
  }
  const unknown = args.filter((arg) => !STAGES.some(({ name }) => name === arg));
  if (unknown.length > 0) {
    console.error(`There is no stage ${unknown.join(', ')}: choose from ${STAGES.map(({ name }) => name).join(', ')}.`);
    return 2;
  }
  const fault = await ensureInstalled();
  if (fault) {
    console.error(fault);
    return 1;
  }
  return runStages(STAGES.filter(({ name }) => args.length === 0 || name === 'build' || args.includes(name)));
}

/** @param {typeof STAGES} stages */
async function runStages(stages) {
  /** @type {Done[]} */
  const done = [];
  for (const { name, about, run } of stages) {
    console.log(`\n── ${name}: ${about}`);
    const start = performance.now();
    const result = await run();
    done.push({ name, seconds: (performance.now() - start) / 1000, ...result });
    console.log(`── ${lineOf(done.at(-1))}`);
  }
  console.log(`\n${done.map(lineOf).join('\n')}`);
  const ok = done.every((stage) => stage.ok);
  if (!ok)
    console.log(
      `\nNot in order: ${done
        .filter((stage) => !stage.ok)
        .map(({ name }) => name)
        .join(', ')}`,
    );
  const sum = (/** @type {'passed' | 'failed'} */ kind) => done.reduce((total, { tests }) => total + (tests?.[kind] ?? 0), 0);
  console.log(`\n${sum('passed')} passed, ${sum('failed')} failed`);
  return ok ? 0 : 1;
}

/** @param {Done | undefined} done */
function lineOf(done) {
  if (!done) return '';
  const { name, ok, seconds, tests } = done;
  const counts = tests ? `${tests.passed} passed, ${tests.failed} failed` : '';
  return `${name.padEnd(13)}${ok ? 'ok    ' : 'FAILED'}${seconds.toFixed(1).padStart(7)} s   ${counts}`.trimEnd();
}
