import { existsSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import { build, MAIN } from './build.mjs';
import { ensureInstalled } from './setup.mjs';

const fault = (await ensureInstalled()) ?? (await whyNotBuilt());
if (fault) {
  console.error(fault);
  process.exitCode = 1;
} else {
  // In this very process, so that signals and the exit code need no passing on.
  process.argv = [process.execPath, MAIN, 'up', ...process.argv.slice(2)];
  await import(pathToFileURL(MAIN).href);
}

async function whyNotBuilt() {
  if (!(await build())) return 'The program could not be built; what the compiler says is above.';
  if (!existsSync(MAIN)) return 'The program could not be built: agent/main.ts is missing.';
  return undefined;
}
