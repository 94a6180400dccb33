import type { Import } from './imports.js';
import type { Violation } from './source-tree.js';

/** Which folders or files of the program may import an outside package. Tests may import any. */
export const OWNERS: Readonly<Record<string, readonly string[]>> = {
  '@duckdb/node-api': ['agent/recording/'],
  '@fastify/ajv-compiler': ['web/server/'],
  '@fastify/cookie': ['web/server/'],
  '@fastify/helmet': ['web/server/'],
  '@fastify/rate-limit': ['web/server/'],
  '@fastify/secure-session': ['web/server/'],
  '@fastify/static': ['web/server/'],
  '@fastify/type-provider-typebox': ['web/server/'],
  '@preact/preset-vite': ['web/client/vite.config.ts'],
  '@preact/signals': ['web/client/'],
  aedes: ['broker/'],
  'aedes-persistence-level': ['broker/'],
  'better-sqlite3': ['agent/store/'],
  'classic-level': ['broker/'],
  'chart.js': ['web/client/'],
  fastify: ['web/server/'],
  mqtt: ['agent/io/', 'web/server/'],
  nodemailer: ['agent/io/'],
  preact: ['web/client/'],
  'socket.io': ['web/server/'],
  'socket.io-client': ['web/client/'],
  typebox: ['agent/contract/', 'agent/site/', 'web/server/'],
  vite: ['web/client/vite.config.ts'],
  ws: ['broker/'],
  yaml: ['agent/site/'],
};

/** Packages that only tests, scripts and tool configurations use, or that are run and not imported. */
export const FOR_DEVELOPMENT: ReadonlySet<string> = new Set([
  '@sparticuz/chromium',
  '@types/better-sqlite3',
  '@types/node',
  '@types/nodemailer',
  '@types/ws',
  '@vitest/coverage-v8',
  'axe-core',
  'dependency-cruiser',
  'eslint',
  'fast-check',
  'knip',
  'ml-regression-theil-sen',
  'playwright-core',
  'prettier',
  'simple-statistics',
  'smtp-server',
  'typescript',
  'typescript-eslint',
  'vitest',
]);

const PROGRAM = /^(agent|broker|web)\//;

/** Every import of an outside package by a file that does not own it. */
export function foreignImports(imports: readonly Import[]): readonly Violation[] {
  return imports.flatMap(({ file, line, specifier, packageName }) => {
    if (packageName === undefined || !PROGRAM.test(file)) return [];
    const owners = OWNERS[packageName];
    if (owners?.some((owner) => file.startsWith(owner))) return [];
    const reason = owners
      ? `${packageName} belongs to ${owners.join(' and ')}`
      : `${packageName} has no owner in tests/structure/package-owners.ts`;
    return [{ file, line, what: `imports ${specifier}`, reason }];
  });
}

/** Where package.json and the table of owners differ. */
export function unownedPackages(listed: readonly string[], owned: readonly string[]): readonly Violation[] {
  const at = { file: 'package.json', line: 1 };
  return [
    ...listed
      .filter((name) => !owned.includes(name))
      .map((name) => ({ ...at, what: name, reason: 'no part of the program is named as its owner' })),
    ...owned.filter((name) => !listed.includes(name)).map((name) => ({ ...at, what: name, reason: 'has an owner but is not listed' })),
  ];
}
