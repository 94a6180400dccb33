import type { Violation } from './source-tree.js';

export interface TextFile {
  readonly path: string;
  readonly text: string;
}

/** Words that hold on one machine or one network only. */
const BOUND_TO_A_PLACE: readonly { readonly pattern: RegExp; readonly reason: string }[] = [
  { pattern: /(?<![\w./:#-])\/(home|Users|root|work|workspace)\/[\w.-]+/, reason: 'a path that exists on one machine only' },
  { pattern: /\b[A-Z]:\\Users\\/, reason: 'a path that exists on one machine only' },
  {
    pattern: /\bregistry\.[a-z0-9-]+\.(com|org|net|io|dev)\b|\b(npm|pkg)\.pkg\.[a-z0-9-]+\.[a-z]{2,}|\bregistry\s*=\s*https?:/,
    reason: 'names a package registry: that is for each machine to set',
  },
];

/** Places that make sense on one machine or network only. */
export function placeBound(files: readonly TextFile[]): readonly Violation[] {
  return files.flatMap(({ path, text }) =>
    text.split('\n').flatMap((words, index) =>
      BOUND_TO_A_PLACE.flatMap(({ pattern, reason }) => {
        const [found] = pattern.exec(words) ?? [];
        return found === undefined ? [] : [{ file: path, line: index + 1, what: found.trim(), reason }];
      }),
    ),
  );
}

/** Addresses from which the lock file was once filled. */
export function resolvedAddresses(lockFile: TextFile): readonly Violation[] {
  return lockFile.text.split('\n').flatMap((words, index) =>
    /^\s*"resolved"\s*:/.test(words)
      ? [
          {
            file: lockFile.path,
            line: index + 1,
            what: words.trim(),
            reason: 'the lock file names packages and their sums, not where one machine fetched them (.npmrc keeps it so)',
          },
        ]
      : [],
  );
}
