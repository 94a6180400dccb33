import { existsSync, mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { run } from './child.mjs';
import { ROOT } from './root.mjs';

/**
 * @typedef {object} Browser
 * @property {string} executablePath
 * @property {string[]} args - what to start it with
 * @property {Record<string, string>} env - the environment to start it in
 */

/** No sandbox, since tests may run as root; nothing that calls out by itself. */
const ARGS = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/**
 * What the packaged Chromium links against beyond the C library, and the Debian package that holds it.
 *
 * @type {readonly (readonly [string, string])[]}
 */
const DEBIAN_PACKAGES = [
  ['libnspr4', 'libnspr4'],
  ['libnss', 'libnss3'],
  ['libplc4', 'libnspr4'],
  ['libplds4', 'libnspr4'],
  ['libexpat', 'libexpat1'],
  ['libgcc_s', 'libgcc-s1'],
  ['libsqlite3', 'libsqlite3-0'],
];

/**
 * Finds a Chromium that runs here: the one named by TAKELINE_CHROMIUM, the system's, or the one that came through npm.
 *
 * @returns {Promise<Browser | { fault: string }>} `fault` is a sentence that says what to install
 */
export async function findBrowser() {
  const named = process.env['TAKELINE_CHROMIUM'];
  if (named) {
    const trial = await tryOut(named, {});
    return trial.runs ? browser(named, {}) : { fault: `TAKELINE_CHROMIUM is ${named}, which does not run: ${trial.words}` };
  }
  for (const system of ['/usr/bin/chromium', '/usr/bin/chromium-browser']) {
    if (existsSync(system) && (await tryOut(system, {})).runs) return browser(system, {});
  }
  return findPackaged();
}

/** @returns {Promise<Browser | { fault: string }>} */
async function findPackaged() {
  const unpacked = await unpack();
  if ('fault' in unpacked) return unpacked;
  const { folder } = unpacked;
  const executable = join(folder, 'chromium');
  const fonts = { FONTCONFIG_FILE: join(folder, 'fontconfig.xml') };
  const plain = await tryOut(executable, fonts);
  if (plain.runs) return browser(executable, fonts);
  // A bare system lacks NSS, NSPR and Expat: the package brings a set of its own.
  const brought = { ...fonts, LD_LIBRARY_PATH: join(folder, 'al2023/lib') };
  const aided = await tryOut(executable, brought);
  if (aided.runs) return browser(executable, brought);
  return { fault: missingLibraries(aided.words) };
}

/**
 * Unpacks the packaged Chromium into a folder of the project's own, once for each version of the package.
 *
 * @returns {Promise<{ folder: string } | { fault: string }>}
 */
async function unpack() {
  const manifest = join(ROOT, 'node_modules/@sparticuz/chromium/package.json');
  if (!existsSync(manifest)) return { fault: 'The browser of the tests is not installed: run npm ci, with development packages.' };
  const folder = join(ROOT, '.cache/chromium', JSON.parse(readFileSync(manifest, 'utf8')).version);
  if (existsSync(folder)) return { folder };
  const draft = `${folder}.${process.pid}`;
  mkdirSync(draft, { recursive: true });
  // The package unpacks into TMPDIR, and takes along its system libraries only where it believes itself on that system.
  const program = "import chromium from '@sparticuz/chromium'; await chromium.executablePath();";
  const { code, output } = await run(process.execPath, ['--input-type=module', '-e', program], {
    quiet: true,
    env: { TMPDIR: draft, AWS_EXECUTION_ENV: 'AWS_Lambda_nodejs20.x' },
  });
  if (code !== 0) {
    rmSync(draft, { recursive: true, force: true });
    return { fault: `The browser of the tests could not be unpacked into .cache/chromium: ${lastLine(output)}` };
  }
  writeFileSync(
    join(draft, 'fontconfig.xml'),
    '<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd"><fontconfig>' +
      `<include ignore_missing="yes">/etc/fonts/fonts.conf</include><dir>${folder}/fonts</dir><cachedir>${folder}/fonts-cache</cachedir></fontconfig>`,
  );
  try {
    renameSync(draft, folder);
  } catch {
    // Another test process was first; theirs is as good.
    rmSync(draft, { recursive: true, force: true });
  }
  return existsSync(folder)
    ? { folder }
    : { fault: `The browser of the tests could not be put into ${folder}: see that .cache can be written.` };
}

/**
 * @param {string} executablePath
 * @param {Record<string, string>} env
 */
async function tryOut(executablePath, env) {
  const { code, output } = await run(executablePath, ['--version'], { quiet: true, env });
  return { runs: code === 0, words: lastLine(output) };
}

/** @param {string} output */
const lastLine = (output) => output.trim().split('\n').at(-1) ?? '';

/**
 * @param {string} executablePath
 * @param {Record<string, string>} env
 * @returns {Browser}
 */
function browser(executablePath, env) {
  const inherited = Object.entries(process.env).flatMap(([name, value]) => (value === undefined ? [] : [[name, value]]));
  return { executablePath, args: [...ARGS], env: { ...Object.fromEntries(inherited), ...env } };
}

/** @param {string} words - what the loader said */
export function missingLibraries(words) {
  const known = DEBIAN_PACKAGES.find(([library]) => words.includes(library));
  const advice = known
    ? `apt-get install ${known[1]}, or the whole browser with apt-get install chromium`
    : 'apt-get install chromium, or name a Chromium that runs here in TAKELINE_CHROMIUM';
  return `The browser of the tests does not run on this system (${words}): ${advice}, and run the tests again.`;
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  const found = await findBrowser();
  if ('fault' in found) {
    console.error(found.fault);
    process.exitCode = 1;
  } else {
    console.log(`Browser: ${found.executablePath}`);
  }
}
