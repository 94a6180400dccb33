import { chmodSync, mkdirSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { secretFile, signInOf } from '../../agent/process/secrets.js';
import { ROLES } from '../../broker/access-rules.js';
import { openCredentials } from '../../broker/credentials.js';
import { isPassword } from '../../broker/password-hash.js';
import { temporaryFolder } from './temporary-folder.js';

describe('the credentials of a data folder', () => {
  it('are made once: a password of its own for every role, that checks against what is kept', async () => {
    const dataDir = temporaryFolder();
    const made = await openCredentials(dataDir);
    const passwords = await Promise.all(ROLES.map(async (role) => (await signInOf(dataDir, role))?.password ?? ''));
    expect(new Set(passwords).size).toBe(ROLES.length);
    for (const [index, role] of ROLES.entries()) {
      expect(await Promise.all(passwords.map((password) => isPassword(password, made[role])))).toEqual(
        ROLES.map((_role, other) => other === index),
      );
    }
    expect(await openCredentials(dataDir)).toEqual(made);
  });

  it('leave no file beside the four', async () => {
    const dataDir = temporaryFolder();
    await openCredentials(dataDir);
    expect([readdirSync(dataDir).sort(), readdirSync(join(dataDir, 'secrets')).sort()]).toEqual([
      ['credentials.json', 'secrets'],
      ['agent.txt', 'sensor.txt', 'web.txt'],
    ]);
  });

  it('take up a password of the owner, and close its file to others', async () => {
    const dataDir = temporaryFolder();
    mkdirSync(join(dataDir, 'secrets'));
    writeFileSync(secretFile(dataDir, 'sensor'), 'as set in the sensors\n');
    chmodSync(secretFile(dataDir, 'sensor'), 0o644);
    const { sensor } = await openCredentials(dataDir);
    expect(await isPassword('as set in the sensors', sensor)).toBe(true);
    expect(statSync(secretFile(dataDir, 'sensor')).mode & 0o777).toBe(0o600);
  });

  it('change with the password in its file once credentials.json is deleted', async () => {
    const dataDir = temporaryFolder();
    await openCredentials(dataDir);
    writeFileSync(secretFile(dataDir, 'web'), 'new');
    expect(await isPassword('new', (await openCredentials(dataDir)).web)).toBe(false);
    rmSync(join(dataDir, 'credentials.json'));
    expect(await isPassword('new', (await openCredentials(dataDir)).web)).toBe(true);
  });

  it('are made again where making them was cut short, with the passwords already given out', async () => {
    const dataDir = temporaryFolder();
    await openCredentials(dataDir);
    const before = readFileSync(secretFile(dataDir, 'agent'), 'utf8');
    rmSync(join(dataDir, 'credentials.json'));
    rmSync(secretFile(dataDir, 'web'));
    await openCredentials(dataDir);
    expect(readFileSync(secretFile(dataDir, 'agent'), 'utf8')).toBe(before);
    expect(await signInOf(dataDir, 'web')).toMatchObject({ username: 'web' });
  });

  it('stop the start where the file cannot be read', async () => {
    const dataDir = temporaryFolder();
    mkdirSync(join(dataDir, 'credentials.json'));
    await expect(openCredentials(dataDir)).rejects.toMatchObject({ name: 'TakelineFault', code: 'broker-data-folder' });
  });
});
