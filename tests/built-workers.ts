import { relative } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import type { Plugin } from 'vite';

const ROOT = fileURLToPath(new URL('..', import.meta.url));
const BESIDE_IT = /(-worker\.js'), import\.meta\.url\)/g;

/** What runs in a thread of its own is, in tests too, what was built: node itself reads no TypeScript. */
export const builtWorkers: Plugin = {
  name: 'built-workers',
  enforce: 'pre',
  transform(code, id) {
    if (id.includes('node_modules') || code.search(BESIDE_IT) < 0) return null;
    const built = pathToFileURL(`${ROOT}dist/${relative(ROOT, id)}`).href;
    return { code: code.replaceAll(BESIDE_IT, `$1, '${built}')`), map: null };
  },
};
