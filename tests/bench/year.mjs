// A year of two sensors at 1 Hz: replayed from CSV and from Parquet on one core, against reading the same file alone; on the bench, gone to any
// instant of; two settings over thirty days; and how late live alarms come beside it.
// usage: npm run bench year [-- days, default 365 [folder in which the recordings are kept from one run to the next]]
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync } from 'node:fs';
import { mkdtemp, rm, stat } from 'node:fs/promises';
import { cpus, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { table } from './report.mjs';
import { liveDelays } from './year-live.mjs';
import { writeRecordings } from './year-recording.mjs';

const CROSSINGS = 60;
const HELPER = fileURLToPath(new URL('year-helper.mjs', import.meta.url));

/** Runs one task in a process of its own, on one core where the system can be asked for that. */
async function task(what, path) {
  const pinned = process.platform === 'linux';
  const [command, ...before] = pinned ? ['taskset', '-c', '0', process.execPath] : [process.execPath];
  const child = spawn(command, [...before, HELPER, what, path], { stdio: ['ignore', 'inherit', 'inherit', 'ipc'] });
  const [[figures]] = await Promise.all([once(child, 'message'), once(child, 'exit')]);
  return figures;
}

export async function run(args) {
  const days = Number(args[0] ?? 365);
  const kept = args[1];
  const folder = kept ?? (await mkdtemp(join(tmpdir(), 'takeline-bench-')));
  const [csv, parquet, month] = ['year.csv', 'year.parquet', 'month.parquet'].map((name) => join(folder, name));
  try {
    if (!existsSync(month)) {
      await writeRecordings(days, csv, parquet);
      await writeRecordings(Math.min(days, 30), undefined, month);
    }
    const heading = (what) => `year: ${what}, ${cpus()[0]?.model ?? 'processor'} × ${cpus().length}`;
    for (const [name, path] of [
      ['CSV', csv],
      ['Parquet', parquet],
    ]) {
      const [bare, full] = [await task('scan', path), await task('replay', path)];
      const gb = (await stat(path)).size / 1024 ** 3;
      table(heading(`${(full.rows / 1e6).toFixed(1)} million readings from ${name}, ${gb.toFixed(2)} GB, on one core`), [
        ['replayed in', `${full.wallS.toFixed(1)} s (${full.cpuS.toFixed(1)} s of processor; aim 60 s)`],
        ['peak memory of the process', `${full.peakMb.toFixed(0)} MB (aim 500 MB)`],
        ['reading the file alone', `${bare.wallS.toFixed(1)} s (${bare.cpuS.toFixed(1)} s of processor)`],
        ['pipeline over bare file, by processor time', `${((100 * bare.cpuS) / full.cpuS).toFixed(0)} %`],
      ]);
    }
    const bench = await task('bench', parquet);
    table(heading(`the bench over ${(bench.rows / 1e6).toFixed(1)} million readings`), [
      ['laid out for the bench', `${(bench.readMs / 1000).toFixed(1)} s`],
      ['…and replayed', `${((bench.openMs - bench.readMs) / 1000).toFixed(1)} s more`],
      [`to ${bench.momentMs.length} instants of it`, `${spread(bench.momentMs)} (aim 200 ms)`],
      [`traces of ${bench.tracesMs.length} hours of it`, spread(bench.tracesMs)],
      ['traces of all of it', `${bench.wholeMs.toFixed(0)} ms`],
      ['peak memory of the process', `${bench.peakMb.toFixed(0)} MB (aim 500 MB)`],
    ]);
    const two = await task('bench', month);
    table(heading(`two settings over ${(two.rows / 1e6).toFixed(1)} million readings`), [
      [
        'from the other setting to what differs',
        `${(two.secondMs / 1000).toFixed(1)} s (${(two.secondCpuMs / 1000).toFixed(1)} s of processor; aim 5 s)`,
      ],
    ]);
    const { alone, beside } = await liveDelays(parquet, CROSSINGS);
    table(heading(`from a reading that crosses a limit to its alarm, ${CROSSINGS} crossings, 400 readings/s`), [
      ['without a replay', spread(alone)],
      ['beside a replay of the year', `${spread(beside)} (aim: 100 ms more at most)`],
    ]);
  } finally {
    if (kept === undefined) await rm(folder, { recursive: true, force: true });
  }
}

function spread(values) {
  const sorted = values.toSorted((a, b) => a - b);
  const at = (share) => sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))].toFixed(0);
  return `p50 ${at(0.5)} ms, p99 ${at(0.99)} ms`;
}
