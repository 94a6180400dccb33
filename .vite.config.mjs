import { relative } from 'node:path';
import { defineConfig } from 'vite';
import { ROOT } from './.scripts/root.mjs';

/** Packages with a compiled part, and the one that the broker's sessions load by name: they stay where npm has put them. */
const NOT_PACKED = ['@duckdb/node-api', '@fastify/secure-session', 'aedes-persistence-level', 'better-sqlite3', 'classic-level'];

/**
 * Packs the program and the packages it uses into few files, dist/takeline/: a start that looks for a thousand files on the disk takes
 * more than twice as long until it does its first own work. Each command is a file of its own, loaded when it is called.
 */
export default defineConfig({
  root: ROOT,
  cacheDir: '.cache/vite-packed',
  plugins: [{ name: 'own-place', transform: ownPlace }],
  ssr: { target: 'node', noExternal: true, external: NOT_PACKED },
  build: {
    ssr: true,
    outDir: 'dist/takeline',
    target: 'node20.19',
    // A fault's stack is to be read.
    minify: false,
    rolldownOptions: {
      input: { main: 'agent/main.ts' },
      output: { entryFileNames: '[name].js', chunkFileNames: '[name]-[hash].js' },
    },
  },
});

/**
 * A module of ours that asks where it lies, to find a file beside it, is told where its compiled self lies in dist/.
 *
 * @param {string} code
 * @param {string} id - path of the module
 */
function ownPlace(code, id) {
  if (id.includes('node_modules') || !code.includes('import.meta.url')) return null;
  const compiled = `../${relative(ROOT, id).replace(/\.ts$/, '.js')}`;
  return { code: code.replaceAll('import.meta.url', `new URL('${compiled}', import.meta.url).href`), map: null };
}
