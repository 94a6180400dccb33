import { exportToFile } from '../live/export-readings.js';
import { WALL_CLOCK } from '../process/clock.js';
import { untilStopped } from '../process/until-stopped.js';
import { openSqliteReader } from '../store/sqlite-reader.js';
import { formatTime } from '../units/time.js';
import type { Command, CommandIo } from './command.js';
import { parseOptions, textOf, wrongUsage } from './options.js';
import { progressLine } from './progress.js';
import { timeOf } from './time-options.js';

const USAGE = `takeline export --from TIME [--to TIME] [--takeup CONVEYOR/TAKEUP] --out FILE [--data DIR]

writes raw readings from the store to a recording that takeline replay takes, beside a running agent or without one
  --from TIME     the first reading: a time like 2026-03-02T06:00:00Z, or a date, from its beginning in UTC
  --to TIME       up to, not including; default now
  --takeup C/T    one take-up's signals and those of its conveyor; or a conveyor alone; default all
  --out FILE      the recording: .csv, .csv.gz or .parquet by its name
  --data DIR      where the history is; default ./data

exit code: 0 written, 1 store or file cannot be used, nothing in that stretch, or stopped, 2 wrong usage`;

/** `takeline export`: raw readings out of the store, as a recording. */
export const exportCommand: Command = { usage: USAGE, run };

const TEXT = { type: 'string' } as const;
const OPTIONS = { from: TEXT, to: TEXT, takeup: TEXT, out: TEXT, data: TEXT };

async function run(args: readonly string[], io: CommandIo): Promise<number> {
  const parsed = parseOptions('export', USAGE, args, OPTIONS, io);
  if (typeof parsed === 'number') return parsed;
  const [out, fromMs, toMs] = [textOf(parsed, 'out'), timeOf(parsed, 'from'), timeOf(parsed, 'to') ?? WALL_CLOCK.nowMs()];
  if (out === undefined || fromMs === undefined) return wrongUsage('export', '--from TIME and --out FILE are needed', io);
  if (toMs <= fromMs) return wrongUsage('export', '--to must be after --from', io);
  const [conveyor, takeup, ...more] = textOf(parsed, 'takeup')?.split('/') ?? [];
  if (more.length > 0 || conveyor === '') return wrongUsage('export', '--takeup takes CONVEYOR/TAKEUP, or a conveyor', io);
  const place = { ...(conveyor === undefined ? {} : { conveyor }), ...(takeup === undefined ? {} : { takeup }) };
  const reader = await openSqliteReader({ dataDir: textOf(parsed, 'data') ?? 'data' });
  const progress = progressLine();
  const abort = new AbortController();
  void untilStopped().then(() => {
    abort.abort();
  });
  try {
    const rows = await exportToFile(reader, { fromMs, toMs, ...place }, out, {
      signal: abort.signal,
      onProgress: (share, timeMs) => {
        progress.show(share, formatTime(timeMs).slice(0, 16));
      },
    });
    progress.clear();
    if (rows > 0) io.out(`${String(rows)} readings in ${out}`);
    else io.err(`there are no readings of ${textOf(parsed, 'takeup') ?? 'any signal'} in that stretch; nothing was written`);
    return rows > 0 ? 0 : 1;
  } catch (error) {
    progress.clear();
    if (!abort.signal.aborted) throw error;
    io.err(`stopped; ${out} was not written`);
    return 1;
  } finally {
    await reader.stop();
  }
}
