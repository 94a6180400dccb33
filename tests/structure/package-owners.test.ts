import { describe, expect, it } from 'vitest';
import { importsOf } from './imports.js';
import { FOR_DEVELOPMENT, OWNERS, foreignImports, unownedPackages } from './package-owners.js';
import { projectSources, readText, report, sourceOf } from './source-tree.js';

const judged = (path: string, text: string): readonly string[] => report(foreignImports(importsOf(sourceOf(path, text))));

interface PackageFile {
  readonly dependencies: Readonly<Record<string, string>>;
  readonly devDependencies: Readonly<Record<string, string>>;
}

describe('outside packages', () => {
  it('are imported by their owners only', () => {
    const sources = projectSources();
    expect(sources.length).toBeGreaterThan(0);
    expect(report(foreignImports(sources.flatMap(importsOf)))).toEqual([]);
  });

  it('each have an owner, and each owner a package', () => {
    const { dependencies, devDependencies } = JSON.parse(readText('package.json')) as PackageFile;
    const listed = [...Object.keys(dependencies), ...Object.keys(devDependencies)];
    expect(listed.length).toBeGreaterThan(0);
    expect(report(unownedPackages(listed, [...Object.keys(OWNERS), ...FOR_DEVELOPMENT]))).toEqual([]);
  });
});

describe('is found', () => {
  it.each([
    [
      'a package in a part that does not own it',
      'agent/flow/trend/a.ts',
      "import mqtt from 'mqtt';",
      'mqtt belongs to agent/io/ and web/server/',
    ],
    ['a type of it', 'agent/store/a.ts', "import type { FastifyInstance } from 'fastify';", 'fastify belongs to web/server/'],
    ['a part inside it', 'web/server/a.ts', "import { useState } from 'preact/hooks';", 'preact belongs to web/client/'],
    ['a package nobody owns', 'agent/io/a.ts', "import leftpad from 'left-pad';", 'left-pad has no owner'],
    ['a package for development', 'agent/io/a.ts', "import { it } from 'vitest';", 'vitest has no owner'],
  ])('%s', (_, path, text, reason) => {
    expect(judged(path, text)).toEqual([expect.stringContaining(reason)]);
  });

  it('a package without owner and an owner without package', () => {
    expect(report(unownedPackages(['a', 'b'], ['b', 'c']))).toEqual([
      expect.stringContaining(' a: no part'),
      expect.stringContaining(' c: has an owner'),
    ]);
  });
});

describe('is allowed', () => {
  it.each([
    ['the owner', 'agent/io/a.ts', "import mqtt from 'mqtt';"],
    ['a test', 'tests/integration/a.test.ts', "import mqtt from 'mqtt';"],
    ['a module of Node', 'agent/io/a.ts', "import { readFile } from 'node:fs/promises';"],
  ])('%s', (_, path, text) => {
    expect(judged(path, text)).toEqual([]);
  });
});
