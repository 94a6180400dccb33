import { randomBytes, randomUUID } from 'node:crypto';
import { link, mkdir, open, readFile, rm } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { TakelineFault } from './fault.js';

const SECRET_BYTES = 32;
/** 32 bytes in hexadecimal. */
const SECRET_TEXT = /^[0-9a-f]{64}$/u;

/** Where the secret of acknowledging links is kept, readable by the owner of the data folder alone. */
export function linkSecretFile(dataDir: string): string {
  return join(dataDir, 'secrets', 'ack-link.txt');
}

/**
 * The secret that acknowledging links are made and checked with: `TAKELINE_LINK_SECRET` where agent and web server do not share a data
 * folder, else `secrets/ack-link.txt`, made at first need. Whoever asks first makes it; two at once get the same.
 *
 * @throws TakelineFault `link-secret-damaged` where it is not 64 hexadecimal digits, `link-secret-folder` where it cannot be kept
 */
export async function linkSecret(dataDir: string): Promise<Uint8Array> {
  const given = process.env['TAKELINE_LINK_SECRET'];
  if (given !== undefined) return decoded(given, 'TAKELINE_LINK_SECRET', 'set it to 64 hexadecimal digits, the same for agent and web');
  const path = linkSecretFile(dataDir);
  try {
    return decoded((await readIfThere(path)) ?? (await made(path)), path, 'delete it and start again; links that are under way end');
  } catch (error) {
    if (error instanceof TakelineFault) throw error;
    const why = error instanceof Error ? error.message : String(error);
    throw new TakelineFault(
      'link-secret-folder',
      `${path} cannot be kept (${why}): see that the user takeline runs as owns the data folder.`,
    );
  }
}

function decoded(text: string, place: string, remedy: string): Uint8Array {
  const secret = text.trim().toLowerCase();
  if (!SECRET_TEXT.test(secret)) throw new TakelineFault('link-secret-damaged', `${place} is damaged: ${remedy}.`);
  return Buffer.from(secret, 'hex');
}

async function made(path: string): Promise<string> {
  const draft = `${path}.${randomUUID()}.tmp`;
  const secret = randomBytes(SECRET_BYTES).toString('hex');
  await mkdir(dirname(path), { recursive: true, mode: 0o700 });
  try {
    const file = await open(draft, 'wx', 0o600);
    try {
      await file.writeFile(`${secret}\n`);
      await file.sync();
    } finally {
      await file.close();
    }
    // Unlike a rename, a link never takes the place of what another process has just made.
    await link(draft, path);
    return secret;
  } catch (error) {
    const theirs = codeOf(error) === 'EEXIST' ? await readIfThere(path) : undefined;
    if (theirs === undefined) throw error;
    return theirs;
  } finally {
    await rm(draft, { force: true });
  }
}

async function readIfThere(path: string): Promise<string | undefined> {
  try {
    return await readFile(path, 'utf8');
  } catch (error) {
    if (codeOf(error) === 'ENOENT') return undefined;
    throw error;
  }
}

function codeOf(error: unknown): unknown {
  return error instanceof Error && 'code' in error ? error.code : undefined;
}
