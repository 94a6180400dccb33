import { open, rename, rm } from 'node:fs/promises';

/** Writes a file so that it is whole or not there: beside its place, made durable, then moved in. @param mode - of the new file */
export async function writeWhole(path: string, text: string, mode = 0o644): Promise<void> {
  const part = `${path}.part`;
  const file = await open(part, 'w', mode);
  try {
    await file.writeFile(text);
    await file.sync();
  } catch (error) {
    await file.close();
    await rm(part, { force: true });
    throw error;
  }
  await file.close();
  await rename(part, path);
}
