import { readFile } from 'node:fs/promises';
import { join } from 'node:path';

/** Who signs in at the broker. */
export type Role = 'sensor' | 'agent' | 'web';

/** How a role signs in: name and password. */
export interface SignIn {
  readonly username: string;
  readonly password: string;
}

/** Where the plain password of a role is kept, readable by the owner of the data folder alone. */
export function secretFile(dataDir: string, role: Role): string {
  return join(dataDir, 'secrets', `${role}.txt`);
}

/**
 * How a role signs in at a broker: by `TAKELINE_BROKER_USER` and `TAKELINE_BROKER_PASSWORD`, else by the password that the embedded
 * broker made at its first start; undefined where there is neither, as at a broker that asks for none.
 */
export async function signInOf(dataDir: string, role: Role): Promise<SignIn | undefined> {
  const { TAKELINE_BROKER_USER: username, TAKELINE_BROKER_PASSWORD: password } = process.env;
  if (username !== undefined && password !== undefined) return { username, password };
  try {
    return { username: role, password: (await readFile(secretFile(dataDir, role), 'utf8')).trim() };
  } catch {
    return undefined;
  }
}
