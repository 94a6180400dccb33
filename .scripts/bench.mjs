import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from './build.mjs';
import { ROOT } from './root.mjs';
import { ensureInstalled } from './setup.mjs';

const BENCHES = ['replay', 'live', 'plan', 'page', 'load', 'alarms', 'year', 'screens', 'start'];

const [name, ...args] = process.argv.slice(2);
if (!BENCHES.includes(name)) {
  console.error(`usage: npm run bench ${BENCHES.join('|')} [-- options]`);
  process.exitCode = 2;
} else {
  const fault =
    (await ensureInstalled()) ?? ((await build()) ? undefined : 'The program could not be built; what the compiler says is above.');
  const file = join(ROOT, 'tests/bench', `${name}.mjs`);
  if (fault !== undefined || !existsSync(file)) {
    console.error(fault ?? `there is no ${file}`);
    process.exitCode = 1;
  } else {
    const { run } = await import(pathToFileURL(file).href);
    await run(args);
  }
}
