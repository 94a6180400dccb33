import { mkdtemp, readFile, rm, stat, writeFile, readdir } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { linkSecret, linkSecretFile } from '../../agent/process/link-secret.js';

let dataDir: string;
beforeEach(async () => {
  dataDir = await mkdtemp(join(tmpdir(), 'takeline-link-'));
});
afterEach(async () => {
  vi.unstubAllEnvs();
  await rm(dataDir, { recursive: true });
});

describe('the secret of acknowledging links', () => {
  it('is made once, for its owner alone, and stays', async () => {
    const first = await linkSecret(dataDir);
    expect(first).toHaveLength(32);
    expect(await linkSecret(dataDir)).toEqual(first);
    expect((await stat(linkSecretFile(dataDir))).mode & 0o777).toBe(0o600);
  });

  it('is the same for all who ask at once', async () => {
    const all = await Promise.all(Array.from({ length: 20 }, () => linkSecret(dataDir)));
    expect(new Set(all.map((secret) => Buffer.from(secret).toString('hex'))).size).toBe(1);
    expect(await readdir(dirname(linkSecretFile(dataDir)))).toEqual(['ack-link.txt']);
  });

  it('comes from the environment where agent and web server share no folder', async () => {
    vi.stubEnv('TAKELINE_LINK_SECRET', 'AB'.repeat(32));
    expect(await linkSecret(dataDir)).toEqual(Buffer.alloc(32, 0xab));
    vi.stubEnv('TAKELINE_LINK_SECRET', 'short');
    await expect(linkSecret(dataDir)).rejects.toMatchObject({ code: 'link-secret-damaged' });
  });

  it('names the file and the remedy where it is damaged', async () => {
    await linkSecret(dataDir);
    await writeFile(linkSecretFile(dataDir), 'half a secr');
    await expect(linkSecret(dataDir)).rejects.toMatchObject({
      code: 'link-secret-damaged',
      message: expect.stringContaining('delete it') as string,
    });
    expect(await readFile(linkSecretFile(dataDir), 'utf8')).toBe('half a secr');
  });
});
