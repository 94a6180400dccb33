/** What the system's error codes mean to somebody who never programmed. */
const WORDS: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file or folder',
  ENOTDIR: 'a part of the path is a file, not a folder',
  EISDIR: 'it is a folder, not a file',
  EEXIST: 'something of that name is in the way',
  ENOTEMPTY: 'the folder is not empty',
  EACCES: 'this user may not',
  EPERM: 'this user may not',
  EROFS: 'the disk can only be read',
  ENOSPC: 'the disk is full',
  EDQUOT: "this user's share of the disk is used up",
  EFBIG: 'the file would be larger than the disk allows',
  EMFILE: 'too many files are open',
  ENFILE: 'too many files are open',
  ENAMETOOLONG: 'the name is too long',
  ELOOP: 'its links lead round in a circle',
  EBUSY: 'another program holds it',
  ETXTBSY: 'another program holds it',
  EIO: 'the disk does not answer as it should',
  EINVAL: 'this kind of place takes no such file',
  ENODEV: 'this kind of place takes no such file',
  ENXIO: 'this kind of place takes no such file',
};

/** Why the system refused, in plain words; an error it gives no words for keeps its own, on one line. */
export function sayWhy(error: unknown): string {
  const code = error instanceof Error && 'code' in error && typeof error.code === 'string' ? error.code : '';
  const message = error instanceof Error ? error.message : String(error);
  return WORDS[code] ?? message.replaceAll(/\s+/g, ' ').trim();
}
