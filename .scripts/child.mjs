import { spawn } from 'node:child_process';
import { accessSync, constants, existsSync, statSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { ROOT } from './root.mjs';

/**
 * @typedef {object} Outcome
 * @property {number} code - exit code; 1 where a signal ended it or it could not be run at all
 * @property {string} output - what it printed, both streams in the order of arrival; empty when it printed to our own streams
 */

/**
 * Runs a program in the project's folder until it ends.
 *
 * @param {string} program
 * @param {readonly string[]} args
 * @param {{ readonly quiet?: boolean, readonly env?: NodeJS.ProcessEnv }} [options] - `quiet` collects what it prints instead of showing it
 * @returns {Promise<Outcome>}
 */
export function run(program, args, options = {}) {
  return new Promise((resolve) => {
    const child = spawn(program, [...args], {
      cwd: ROOT,
      env: { ...process.env, ...options.env },
      stdio: options.quiet ? ['ignore', 'pipe', 'pipe'] : ['ignore', 'inherit', 'inherit'],
    });
    let output = '';
    for (const stream of [child.stdout, child.stderr]) {
      stream?.setEncoding('utf8').on('data', (text) => (output += text));
    }
    child.once('error', (error) => {
      const words = `${program} could not be run: ${error.message}\n`;
      if (!options.quiet) process.stderr.write(words);
      resolve({ code: 1, output: words });
    });
    child.once('close', (code) => resolve({ code: code ?? 1, output }));
  });
}

/**
 * Runs a JavaScript file of a package in node_modules with this very Node.
 *
 * @param {string} file - path below node_modules
 * @param {readonly string[]} args
 * @param {{ readonly quiet?: boolean, readonly env?: NodeJS.ProcessEnv }} [options]
 * @returns {Promise<Outcome>}
 */
export function runTool(file, args, options = {}) {
  return run(process.execPath, [join(ROOT, 'node_modules', file), ...args], options);
}

/**
 * Finds a program on the PATH or in one of the folders given beside it.
 *
 * @param {string} name
 * @param {readonly string[]} [beside] - folders searched after the PATH
 * @returns {string | undefined} its whole path
 */
export function which(name, beside = []) {
  const folders = [...(process.env['PATH'] ?? '').split(delimiter), ...beside];
  return folders.map((folder) => join(folder, name)).find(isProgram);
}

/** @param {string} path */
function isProgram(path) {
  if (!existsSync(path) || !statSync(path).isFile()) return false;
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}
