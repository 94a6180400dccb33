import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { brotliCompressSync, constants, gzipSync } from 'node:zlib';
import { filesUnder } from './freshness.mjs';
import { ROOT } from './root.mjs';

/** Source maps are left out: only developers ask for them. */
const PACKED = /\.(js|css|html|svg)$/;
/** What fits into one packet comes no sooner for being smaller. */
const LEAST_BYTES = 1_200;

/**
 * Lays a packed copy beside every file that is worth it, as `.br` and as `.gz`, for the web server to hand out as it is.
 *
 * @param {string} folder - relative to the project
 */
export function packFiles(folder) {
  for (const path of filesUnder(folder).filter((file) => PACKED.test(file))) {
    const file = join(ROOT, path);
    const bytes = readFileSync(file);
    if (bytes.length < LEAST_BYTES) continue;
    writeFileSync(`${file}.br`, brotliCompressSync(bytes, { params: { [constants.BROTLI_PARAM_SIZE_HINT]: bytes.length } }));
    writeFileSync(`${file}.gz`, gzipSync(bytes, { level: constants.Z_BEST_COMPRESSION }));
  }
}
