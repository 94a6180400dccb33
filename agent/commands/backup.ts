import { backupStore } from '../store/backup-store.js';
import type { Command, CommandIo } from './command.js';
import { parseOptions, textOf, wrongUsage } from './options.js';

const USAGE = `takeline backup --out FILE [--data DIR]

copies history, alarms, entries and the agent's state into one file, while the agent runs, and looks the copy through
  --out FILE    the copy; it must not exist yet
  --data DIR    where the history is; default ./data

People and passwords are not in it: they are the small files beside the history, and in DIR/secrets.

exit code: 0 the copy is whole, 1 store or file cannot be used, 2 wrong usage`;

/** `takeline backup`: a copy of the store while it is used. */
export const backupCommand: Command = { usage: USAGE, run };

const OPTIONS = { out: { type: 'string' }, data: { type: 'string' } } as const;

function run(args: readonly string[], io: CommandIo): Promise<number> {
  const parsed = parseOptions('backup', USAGE, args, OPTIONS, io);
  if (typeof parsed === 'number') return Promise.resolve(parsed);
  const out = textOf(parsed, 'out');
  if (out === undefined) return Promise.resolve(wrongUsage('backup', '--out FILE is needed', io));
  return new Promise((resolve) => {
    const bytes = backupStore(textOf(parsed, 'data') ?? 'data', out);
    io.out(`${out}: ${(bytes / 2 ** 20).toFixed(1)} MB, looked through and whole`);
    resolve(0);
  });
}
