import { cpSync, existsSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { runTool } from './child.mjs';
import { packFiles } from './compress.mjs';
import { digestOf, filesUnder, isFresh, markFresh } from './freshness.mjs';
import { ROOT } from './root.mjs';

const SERVER_SOURCES = ['agent', 'broker', 'web/server'];
const BUILD_INFO = '.cache/build.tsbuildinfo';
const PACKING = '.vite.config.mjs';
const SCRIPT = /\.ts$/;

/** The program as it is run: `takeline` stands for this. */
export const MAIN = join(ROOT, 'dist/takeline/main.js');

/** The client takes values from these folders of the agent and types from others, which leave no trace in what is built. */
const CLIENT_SOURCES = ['web/client', 'agent/units', 'agent/contract', 'agent/plan'];

/**
 * Compiles agent, broker and web server to dist/, packs them into the few files of dist/takeline that are run, and bundles the web client
 * to dist/web/client, each only if its sources changed.
 *
 * @returns {Promise<boolean>} whether everything is built
 */
export async function build() {
  const [server, client] = await Promise.all([buildServer(), buildClient()]);
  return server && client;
}

async function buildServer() {
  const digest = digestOf([...SERVER_SOURCES, PACKING, 'tsconfig.json', 'package-lock.json']);
  if (isFresh('server', digest) && existsSync(MAIN)) return true;
  console.log('Compiling the program …');
  const [compiled, packed] = await Promise.all([compile(), pack()]);
  if (compiled && packed) markFresh('server', digest);
  return compiled && packed;
}

async function compile() {
  const scripts = SERVER_SOURCES.flatMap(filesUnder).filter((file) => SCRIPT.test(file) && !file.endsWith('.d.ts'));
  // The compiler's own notes say what it wrote, not what is still there.
  if (scripts.some((file) => !existsSync(compiledOf(file)))) rmSync(join(ROOT, BUILD_INFO), { force: true });
  const tsc = await runTool('typescript/bin/tsc', ['-p', 'tsconfig.json', '--incremental', '--tsBuildInfoFile', BUILD_INFO], {
    quiet: true,
  });
  process.stdout.write(tsc.output);
  removeLeftovers();
  copyOtherFiles();
  return tsc.code === 0;
}

async function pack() {
  const vite = await runTool('vite/bin/vite.js', ['build', '--config', PACKING, '--logLevel', 'warn'], { quiet: true });
  process.stdout.write(vite.output);
  return vite.code === 0;
}

/** A module whose source is gone must not stay importable. */
function removeLeftovers() {
  for (const file of SERVER_SOURCES.flatMap((folder) => filesUnder(`dist/${folder}`))) {
    const source = file.replace(/^dist\//, '').replace(/\.js(\.map)?$/, '.ts');
    if (!existsSync(join(ROOT, source))) rmSync(join(ROOT, file));
  }
}

/** What stands beside the sources and is read at run time (migrations, documents, the demo site). */
function copyOtherFiles() {
  for (const file of SERVER_SOURCES.flatMap(filesUnder)) {
    if (!SCRIPT.test(file)) cpSync(join(ROOT, file), join(ROOT, 'dist', file));
  }
}

/** @param {string} file */
function compiledOf(file) {
  return join(ROOT, 'dist', file.replace(SCRIPT, '.js'));
}

async function buildClient() {
  if (!existsSync(join(ROOT, 'web/client/index.html'))) return true;
  const digest = digestOf([...CLIENT_SOURCES, '.scripts/compress.mjs', 'package-lock.json']);
  if (isFresh('client', digest) && existsSync(join(ROOT, 'dist/web/client/index.html'))) return true;
  console.log('Bundling the screens …');
  const vite = await runTool('vite/bin/vite.js', ['build', 'web/client', '--logLevel', 'warn'], { quiet: true });
  process.stdout.write(vite.output);
  if (vite.code === 0) {
    packFiles('dist/web/client');
    markFresh('client', digest);
  }
  return vite.code === 0;
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  const { ensureInstalled } = await import('./setup.mjs');
  const fault = await ensureInstalled();
  if (fault) console.error(fault);
  process.exitCode = !fault && (await build()) ? 0 : 1;
}
