import { mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { sessionKey } from '../../../../web/server/people/session-key.js';

let dataDir: string;
beforeEach(() => {
  dataDir = mkdtempSync(join(tmpdir(), 'takeline-key-'));
});
afterEach(() => rmSync(dataDir, { recursive: true, force: true }));

describe('the key of the sessions', () => {
  it('is made once, for its owner alone', async () => {
    const key = await sessionKey(dataDir);
    expect(key).toHaveLength(32);
    expect(await sessionKey(dataDir)).toEqual(key);
    expect(statSync(join(dataDir, 'secrets', 'web-session.key')).mode & 0o777).toBe(0o600);
  });

  it('stops the start where it is damaged, with the remedy', async () => {
    await sessionKey(dataDir);
    writeFileSync(join(dataDir, 'secrets', 'web-session.key'), 'short');
    await expect(sessionKey(dataDir)).rejects.toMatchObject({
      code: 'session-key-damaged',
      message: expect.stringContaining('delete it') as string,
    });
  });
});
