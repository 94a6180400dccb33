import { fileURLToPath } from 'node:url';
import { configDefaults, defineConfig } from 'vitest/config';
import { builtWorkers } from './built-workers.js';

const ROOT = fileURLToPath(new URL('..', import.meta.url));

/** Folders that are a project of their own; everything else under tests/ mirrors the sources and is `unit`. */
const OWN_PROJECTS = ['properties', 'published', 'suites', 'structure', 'integration', 'browser'] as const;

/** These start real brokers, servers and browsers: one file at a time, and patience on a busy machine. */
const OF_THE_WORLD: ReadonlySet<string> = new Set(['integration', 'browser']);

const anyTestIn = (folder: string) => `tests/${folder}/**/*.test.{ts,tsx}`;

export default defineConfig({
  root: ROOT,
  plugins: [builtWorkers],
  cacheDir: '.cache/vite',
  test: {
    watch: false,
    restoreMocks: true,
    unstubEnvs: true,
    projects: [
      {
        extends: true,
        test: {
          name: 'unit',
          include: ['tests/**/*.test.{ts,tsx}'],
          exclude: [...configDefaults.exclude, ...OWN_PROJECTS.map(anyTestIn), 'tests/bench/**'],
          testTimeout: 20_000,
          sequence: { groupOrder: 0 },
        },
      },
      ...OWN_PROJECTS.map((name, index) => {
        const worldly = OF_THE_WORLD.has(name);
        return {
          extends: true as const,
          test: {
            name,
            include: [anyTestIn(name)],
            // What is waited for is a condition, and comes at once where the machine has time: these only end what never comes.
            testTimeout: worldly ? 180_000 : 60_000,
            hookTimeout: worldly ? 180_000 : 60_000,
            ...(worldly ? { expect: { poll: { timeout: 15_000 } } } : {}),
            fileParallelism: !worldly,
            // Pure checks that all read the same tree with the same heavy compiler: loaded once.
            isolate: name !== 'structure',
            // Vitest wants an order between projects that differ in how many workers they take.
            sequence: { groupOrder: index + 1 },
          },
        };
      }),
    ],
    coverage: {
      provider: 'v8',
      include: ['agent/**', 'broker/**', 'web/**'],
      reportsDirectory: 'coverage',
    },
  },
});
