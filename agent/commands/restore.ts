import { restoreStore } from '../store/backup-store.js';
import type { Command, CommandIo } from './command.js';
import { parseOptions, textOf, wrongUsage } from './options.js';

const USAGE = `takeline restore FILE [--data DIR]

puts a copy made by takeline backup into a data folder that has no history yet; a damaged copy is refused
  FILE          the copy
  --data DIR    where the history is to be; default ./data

exit code: 0 done, 1 the copy or the folder cannot be used; the folder is then as it was, 2 wrong usage`;

/** `takeline restore`: a copy of the store back into a folder. */
export const restoreCommand: Command = { usage: USAGE, run };

const OPTIONS = { data: { type: 'string' } } as const;

function run(args: readonly string[], io: CommandIo): Promise<number> {
  const parsed = parseOptions('restore', USAGE, args, OPTIONS, io);
  if (typeof parsed === 'number') return Promise.resolve(parsed);
  const [from, ...more] = parsed.positionals;
  if (from === undefined || more.length > 0) return Promise.resolve(wrongUsage('restore', 'one FILE is needed', io));
  const dataDir = textOf(parsed, 'data') ?? 'data';
  return new Promise((resolve) => {
    restoreStore(from, dataDir);
    io.out(`${dataDir} has the history of ${from}: start the agent on it`);
    resolve(0);
  });
}
