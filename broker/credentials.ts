import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { TakelineFault } from '../agent/process/fault.js';
import { type Role, secretFile } from '../agent/process/secrets.js';
import { ROLES } from './access-rules.js';
import { type PasswordHash, formatPasswordHash, hashPassword, makePassword, parsePasswordHash } from './password-hash.js';
import { writePrivately } from '../agent/process/private-file.js';

/** The hashed password of every user; the users are called by their roles. */
export type Credentials = Readonly<Record<Role, PasswordHash>>;

/**
 * The credentials of a data folder: `credentials.json`, made at the first start, with the plain passwords beside it in
 * `secrets/<role>.txt` for those who have to sign in.
 *
 * Passwords are random unless `secrets/<role>.txt` is already there with one of the owner's choosing. The hashes are written last:
 * whatever is interrupted before is simply done again. So passwords are changed by editing the secret and deleting
 * `credentials.json`.
 *
 * @throws TakelineFault where a file is damaged or cannot be read or written
 */
export async function openCredentials(dataDir: string): Promise<Credentials> {
  const path = join(dataDir, 'credentials.json');
  const text = await readIfThere(path);
  if (text === undefined) return makeCredentials(dataDir, path);
  const credentials = parseCredentials(text);
  if (credentials) return credentials;
  throw new TakelineFault(
    'broker-credentials-damaged',
    `${path} is damaged. Delete it and start again: it is made anew, with the passwords that stand in ${join(dataDir, 'secrets')}.`,
  );
}

async function makeCredentials(dataDir: string, path: string): Promise<Credentials> {
  try {
    const made = await Promise.all(ROLES.map(async (role) => [role, await hashPassword(await keptOrNewSecret(dataDir, role))] as const));
    const credentials = Object.fromEntries(made) as Record<Role, PasswordHash>;
    await writePrivately(path, formatCredentials(credentials));
    return credentials;
  } catch (error) {
    if (error instanceof TakelineFault) throw error;
    throw cannot('write', dataDir, error);
  }
}

async function keptOrNewSecret(dataDir: string, role: Role): Promise<string> {
  const path = secretFile(dataDir, role);
  const kept = (await readIfThere(path))?.trim();
  const secret = kept === undefined || kept === '' ? makePassword() : kept;
  // Written in either case: what the owner has put there may be open to others.
  await writePrivately(path, `${secret}\n`);
  return secret;
}

function formatCredentials(credentials: Credentials): string {
  const users = Object.fromEntries(ROLES.map((role) => [role, formatPasswordHash(credentials[role])]));
  return `${JSON.stringify({ version: 1, users }, null, 2)}\n`;
}

function parseCredentials(text: string): Credentials | undefined {
  const users = usersOf(text);
  const parsed = ROLES.flatMap((role) => {
    const kept: unknown = users?.get(role);
    const hash = typeof kept === 'string' ? parsePasswordHash(kept) : undefined;
    return hash ? [[role, hash] as const] : [];
  });
  return parsed.length === ROLES.length ? (Object.fromEntries(parsed) as Record<Role, PasswordHash>) : undefined;
}

function usersOf(text: string): ReadonlyMap<string, unknown> | undefined {
  try {
    const file: unknown = JSON.parse(text);
    if (typeof file !== 'object' || file === null || !('version' in file) || file.version !== 1 || !('users' in file)) return undefined;
    return new Map(Object.entries(file.users ?? {}));
  } catch {
    return undefined;
  }
}

async function readIfThere(path: string): Promise<string | undefined> {
  try {
    return await readFile(path, 'utf8');
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return undefined;
    throw cannot('read', path, error);
  }
}

function cannot(what: 'read' | 'write', path: string, error: unknown): TakelineFault {
  const reason = error instanceof Error ? error.message : String(error);
  return new TakelineFault(
    'broker-data-folder',
    `Cannot ${what} ${path}: ${reason}. See that the user takeline runs as owns the data folder.`,
  );
}
