import { describe, expect, it } from 'vitest';
import { placeBound, resolvedAddresses } from './portable-text.js';
import { projectFiles, readText, report } from './source-tree.js';

const LOCK = 'package-lock.json';
const judged = (text: string): readonly string[] => report(placeBound([{ path: 'README.md', text }]));
/** In pieces, so that this file does not break the rule it tests. */
const registry = ['registry', 'example', 'org'].join('.');

describe('what is kept in git', () => {
  it('names no place that exists on one machine or network only', () => {
    const files = projectFiles().map((path) => ({ path, text: readText(path) }));
    expect(files.length).toBeGreaterThan(0);
    expect(report(placeBound(files))).toEqual([]);
  });

  it('locks packages without addresses', () => {
    const text = readText(LOCK);
    expect(text).toContain('"integrity"');
    expect(report(resolvedAddresses({ path: LOCK, text }))).toEqual([]);
  });
});

describe('is found', () => {
  it.each([
    ['the folder of a person', `see ${['', 'home', 'somebody', 'takeline'].join('/')}`],
    ['the folder of a person on another system', `"${['', 'Users', 'somebody'].join('/')}"`],
    ['the folder of a machine', `cd ${['', 'work', 'main'].join('/')}`],
    ['a package registry', `https://${registry}/thing`],
    ['a setting that names one', ['registry', 'https://localhost:4873/'].join('=')],
  ])('%s', (_, text) => {
    expect(judged(`first line\n${text}`)).toEqual([expect.stringContaining('README.md:2 ')]);
  });

  it('an address in the lock file', () => {
    const text = `{\n"packages": {\n"resolved": "https://${registry}/a.tgz"\n}}`;
    expect(report(resolvedAddresses({ path: LOCK, text }))).toEqual([expect.stringContaining(`${LOCK}:3 `)]);
  });
});

describe('is allowed', () => {
  it.each([
    ['a path inside the project', 'see agent/work/a.ts and ./home/b'],
    ['a system program', '/usr/bin/chromium'],
    ['an address of the web', 'https://example.org/home/page'],
    ['a route of the web pages', 'GET /conveyors/:id'],
    ['a list that is called so', 'const all = registry.takeups.map(name);'],
  ])('%s', (_, text) => {
    expect(judged(text)).toEqual([]);
  });
});
