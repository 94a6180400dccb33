import { pbkdf2Sync, randomBytes } from 'node:crypto';
import { writeFileSync } from 'node:fs';
import { userInfo } from 'node:os';
import { join } from 'node:path';
import { signInOf } from '../../agent/process/secrets.js';
import { type AccessScope, ROLES, permissionsOf } from '../../broker/access-rules.js';

/** PBKDF2 with SHA-512, as Mosquitto's own password tool makes it: `$7$<iterations>$<salt>$<hash>`. */
const ITERATIONS = 101;
const SALT_BYTES = 12;
const HASH_BYTES = 64;

/**
 * Gives Mosquitto the users, passwords and rules of our own broker: writes its password and access files into a folder.
 *
 * @param dataDir - with the secrets of `openCredentials`
 * @returns lines for its configuration
 */
export async function mosquittoAccess(folder: string, dataDir: string, scope: AccessScope): Promise<readonly string[]> {
  const users = await Promise.all(ROLES.map(async (role) => `${role}:${mosquittoHash((await signInOf(dataDir, role))?.password ?? '')}`));
  const rules = ROLES.flatMap((role) => {
    const { publish, subscribe } = permissionsOf(role, scope);
    return [`user ${role}`, ...publish.map((filter) => `topic write ${filter}`), ...subscribe.map((filter) => `topic read ${filter}`), ''];
  });
  const passwordFile = join(folder, 'passwords');
  const accessFile = join(folder, 'access');
  writeFileSync(passwordFile, `${users.join('\n')}\n`, { mode: 0o600 });
  writeFileSync(accessFile, rules.join('\n'), { mode: 0o600 });
  // Started by root it would become a user of its own, who may not read these.
  return [`user ${userInfo().username}`, 'allow_anonymous false', `password_file ${passwordFile}`, `acl_file ${accessFile}`];
}

function mosquittoHash(password: string): string {
  const salt = randomBytes(SALT_BYTES);
  const hash = pbkdf2Sync(password, salt, ITERATIONS, HASH_BYTES, 'sha512');
  return `$7$${String(ITERATIONS)}$${salt.toString('base64')}$${hash.toString('base64')}`;
}
