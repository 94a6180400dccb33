import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync, existsSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { People } from '../../../../web/server/people/people.js';

let dataDir: string;
const users = () => join(dataDir, 'web', 'users.json');
const firstPassword = () => join(dataDir, 'secrets', 'web-engineer.txt');

beforeEach(() => {
  dataDir = mkdtempSync(join(tmpdir(), 'takeline-people-'));
});
afterEach(() => rmSync(dataDir, { recursive: true, force: true }));

describe('who may sign in', () => {
  it('is, at the first start, an engineer with a password of the machine’s own, readable by the owner alone', async () => {
    const people = await People.open(dataDir);
    const first = await people.firstPassword();
    expect(first?.password).toMatch(/^([a-z2-9]{4}-){3}[a-z2-9]{4}$/);
    expect(await people.verify('engineer', first?.password ?? '')).toMatchObject({ name: 'engineer', role: 'engineer' });
    expect([users(), firstPassword()].map((path) => statSync(path).mode & 0o777)).toEqual([0o600, 0o600]);
    expect(readFileSync(users(), 'utf8')).not.toContain(first?.password);
  });

  it('is the same after a restart', async () => {
    const first = await (await People.open(dataDir)).firstPassword();
    const again = await People.open(dataDir);
    expect(await again.firstPassword()).toEqual(first);
    expect(await again.verify('engineer', first?.password ?? '')).toBeDefined();
  });

  it('is nobody with a wrong password, and nobody who is not there', async () => {
    const people = await People.open(dataDir);
    expect(await people.verify('engineer', 'something else')).toBeUndefined();
    expect(await people.verify('nobody', 'something else')).toBeUndefined();
  });

  it('forgets the first password once it is changed, and gives a new stamp', async () => {
    const people = await People.open(dataDir);
    const before = people.find('engineer');
    await people.setPassword('engineer', 'carrot-harness-9');
    expect(existsSync(firstPassword())).toBe(false);
    expect(await people.firstPassword()).toBeUndefined();
    expect(people.find('engineer')?.stamp).not.toBe(before?.stamp);
    expect(await people.verify('engineer', 'carrot-harness-9')).toBeDefined();
  });

  it('can be added and removed, each name once', async () => {
    const people = await People.open(dataDir);
    expect(await people.add('wall', 'viewer', 'look-but-do-not')).toBe(true);
    expect(await people.add('wall', 'engineer', 'another-one-here')).toBe(false);
    expect((await People.open(dataDir)).list().map(({ name, role }) => [name, role])).toEqual([
      ['engineer', 'engineer'],
      ['wall', 'viewer'],
    ]);
    expect(await people.remove('wall')).toBe(true);
    expect(await people.remove('wall')).toBe(false);
  });

  it('takes a letter for the same however it is typed', async () => {
    const people = await People.open(dataDir);
    await people.add('wall', 'viewer', 'bl\u00e5b\u00e6rsyltet\u00f8y');
    expect(await people.verify('wall', 'bla\u030ab\u00e6rsyltet\u00f8y')).toBeDefined();
  });

  it.each(['', '{"version":1,"people":[]}', '{"version":2}', '[]', 'not JSON'])(
    'stops the start where the file is damaged: %j',
    async (content) => {
      await People.open(dataDir);
      writeFileSync(users(), content);
      await expect(People.open(dataDir)).rejects.toMatchObject({
        code: 'users-damaged',
        message: expect.stringContaining(users()) as string,
      });
    },
  );
});
