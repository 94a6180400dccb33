import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { build } from 'vite';
import { ROOT } from './root.mjs';

const OUT = join(ROOT, '.cache/score');

/** Bundled, the sources run as fast as what is built; as vitest runs them, a third as fast. */
await build({
  configFile: false,
  root: ROOT,
  logLevel: 'warn',
  build: { ssr: process.env['SCORE_ENTRY'] ?? 'tests/score/main.ts', outDir: OUT, target: 'node20', emptyOutDir: true, minify: false },
});
