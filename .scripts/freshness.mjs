import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { ROOT } from './root.mjs';

/**
 * A digest of names, sizes and times of the files under some paths: cheap enough for every start,
 * and unlike "newer than" it also notices what was deleted or set back to an older state.
 *
 * @param {readonly string[]} paths - files or folders, relative to the project; what is not there counts as empty
 */
export function digestOf(paths) {
  const hash = createHash('sha256');
  for (const path of paths.flatMap(filesUnder)) {
    const { size, mtimeMs } = statSync(join(ROOT, path));
    hash.update(`${path}\0${size}\0${mtimeMs}\n`);
  }
  return hash.digest('hex');
}

/**
 * Every file under a path, relative to the project, in a fixed order.
 *
 * @param {string} path
 * @returns {string[]}
 */
export function filesUnder(path) {
  const whole = join(ROOT, path);
  if (!existsSync(whole)) return [];
  if (statSync(whole).isFile()) return [path];
  const names = readdirSync(whole).sort();
  return names.flatMap((name) => filesUnder(`${path}/${name}`));
}

/** @param {string} name */
const stampFile = (name) => join(ROOT, '.cache', `${name}.stamp`);

/**
 * @param {string} name
 * @param {string} digest
 */
export function isFresh(name, digest) {
  const file = stampFile(name);
  return existsSync(file) && readFileSync(file, 'utf8') === digest;
}

/**
 * @param {string} name
 * @param {string} digest
 */
export function markFresh(name, digest) {
  mkdirSync(dirname(stampFile(name)), { recursive: true });
  writeFileSync(stampFile(name), digest);
}
