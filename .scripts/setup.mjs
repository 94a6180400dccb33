// Runs before anything is installed: only what Node brings may be imported here.
import { createHash } from 'node:crypto';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { run, which } from './child.mjs';
import { ROOT } from './root.mjs';

const LOCK = join(ROOT, 'package-lock.json');
const MODULES = join(ROOT, 'node_modules');
/** Lies inside node_modules, so that it is gone when that folder is. */
const STAMP = join(MODULES, '.takeline-installed');
const OLDEST_NODE = [20, 19];

/**
 * Why this Node cannot run the project, as a sentence, or undefined if it can.
 *
 * @param {string} version - as in `process.versions.node`
 */
export function refuseNode(version) {
  const [major = 0, minor = 0] = version.split('.').map(Number);
  const [oldestMajor = 0, oldestMinor = 0] = OLDEST_NODE;
  if (major > oldestMajor || (major === oldestMajor && minor >= oldestMinor)) return undefined;
  return `Takeline needs Node.js ${OLDEST_NODE.join('.')} or newer, and this is ${version}: install a newer Node.js and start again.`;
}

/**
 * Installs the packages of the lock file if they are missing or the lock file has changed since.
 *
 * @returns {Promise<string | undefined>} a sentence that says what is wrong and what to do, or undefined when all is in place
 */
export async function ensureInstalled() {
  const refusal = refuseNode(process.versions.node);
  if (refusal) return refusal;
  // Compiled packages fit one binary interface of Node only.
  const wanted = createHash('sha256').update(readFileSync(LOCK)).update(process.versions.modules).digest('hex');
  if (existsSync(STAMP) && readFileSync(STAMP, 'utf8') === wanted) return undefined;
  if (existsSync(STAMP) || !installedByHand()) {
    const fault = await install();
    if (fault) return fault;
  }
  writeFileSync(STAMP, wanted);
  return undefined;
}

async function install() {
  console.log('Installing packages with npm ci (about a minute and a half; one of them is compiled) …');
  const args = ['ci', '--include=dev', '--no-audit', '--no-fund'];
  // Under `npm start` the very npm that runs us is known; by hand it is looked for on the PATH.
  const npm = process.env['npm_execpath'];
  const { code } = npm?.endsWith('.js') ? await run(process.execPath, [npm, ...args]) : await run('npm', args);
  if (code === 0) return undefined;
  const missing = ['g++', 'make', 'python3'].filter((tool) => !which(tool));
  if (process.platform === 'linux' && missing.length > 0) {
    return (
      `npm ci failed, and ${missing.join(', ')} ${missing.length === 1 ? 'is' : 'are'} missing, which the database package better-sqlite3 needs to compile: ` +
      'install them (Debian, Ubuntu: apt-get install g++ make python3; Fedora: dnf install gcc-c++ make python3; Alpine: apk add g++ make python3) and start again.'
    );
  }
  return 'npm ci failed; its own words are above. See that the package registry can be reached, and start again.';
}

/** Someone may have run npm themselves: compares what npm says it installed with the lock file, package by package. */
function installedByHand() {
  const record = join(MODULES, '.package-lock.json');
  if (!existsSync(record)) return false;
  const installed = readPackages(record);
  return Object.entries(readPackages(LOCK)).every(([path, { version, optional }]) => {
    if (path === '') return true;
    const there = installed[path];
    return there ? there.version === version : optional === true;
  });
}

/**
 * @param {string} file
 * @returns {Record<string, { version: string, optional?: boolean }>}
 */
function readPackages(file) {
  return JSON.parse(readFileSync(file, 'utf8')).packages;
}
