import { existsSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { runTool } from './child.mjs';
import { ROOT } from './root.mjs';

/** @typedef {{ readonly passed: number, readonly failed: number, readonly skipped: number }} Totals */

/**
 * Runs one project of tests/vitest.config.ts.
 *
 * @param {string} project
 * @returns {Promise<{ ok: boolean, tests: Totals }>}
 */
export async function runVitest(project) {
  const report = `.cache/test-results/${project}.json`;
  rmSync(join(ROOT, report), { force: true });
  const args = [
    'run',
    '--config',
    'tests/vitest.config.ts',
    '--project',
    project,
    '--reporter=default',
    '--reporter=json',
    `--outputFile.json=${report}`,
  ];
  const { code } = await runTool('vitest/vitest.mjs', args);
  const tests = existsSync(join(ROOT, report))
    ? totalsOf(JSON.parse(readFileSync(join(ROOT, report), 'utf8')))
    : { passed: 0, failed: 1, skipped: 0 };
  if (tests.skipped > 0) console.error(`${tests.skipped} tests of ${project} were skipped: a test that does not run proves nothing.`);
  return { ok: code === 0 && tests.passed > 0 && tests.skipped === 0, tests };
}

/**
 * Totals of vitest's JSON report. A file that could not even be loaded counts as one failed test.
 *
 * @param {{ numPassedTests: number, numFailedTests: number, numPendingTests: number, numTodoTests: number,
 *   testResults: readonly { status: string, assertionResults: readonly unknown[] }[] }} report
 * @returns {Totals}
 */
export function totalsOf(report) {
  const notLoaded = report.testResults.filter((file) => file.status === 'failed' && file.assertionResults.length === 0);
  return {
    passed: report.numPassedTests,
    failed: report.numFailedTests + notLoaded.length,
    skipped: report.numPendingTests + report.numTodoTests,
  };
}
