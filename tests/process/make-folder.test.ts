import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { makeFolder } from '../../agent/process/make-folder.js';
import { sayWhy } from '../../agent/process/say-why.js';

const folder = mkdtempSync(join(tmpdir(), 'takeline-folder-'));
afterAll(() => {
  rmSync(folder, { recursive: true });
});

describe('a folder', () => {
  it('is made with what is missing above it, and may be there already', async () => {
    const deep = join(folder, 'a', 'b', 'c');
    await Promise.all([makeFolder(deep), makeFolder(deep)]);
    await makeFolder(deep);
    expect(existsSync(deep)).toBe(true);
  });

  it('that the system will not have is refused at once, also where the recursive way would ask for ever', async () => {
    const fault = await makeFolder('/proc/nope/deep').catch((error: unknown) => error);
    expect(sayWhy(fault)).toMatch(/^(there is no such|this user may not)/);
  });

  it('cannot be made through a file', async () => {
    const file = join(folder, 'file');
    writeFileSync(file, '');
    expect(sayWhy(await makeFolder(file).catch((error: unknown) => error))).toBe('something of that name is in the way');
    expect(sayWhy(await makeFolder(join(file, 'below')).catch((error: unknown) => error))).toBe(
      'a part of the path is a file, not a folder',
    );
  });
});

describe('why the system refused', () => {
  it('is said in plain words, else in its own on one line', () => {
    const withCode = (code: string): Error => Object.assign(new Error(`${code}: illegal operation, read`), { code });
    expect(sayWhy(withCode('EISDIR'))).toBe('it is a folder, not a file');
    expect(sayWhy(withCode('EXYZ'))).toBe('EXYZ: illegal operation, read');
    expect(sayWhy('two\nlines')).toBe('two lines');
  });
});
