import type { RejectReason } from '../flow/output.js';
import { createRecordingWriter } from '../recording/create-recording-writer.js';
import { importMapOf, openForeign } from '../replay/open-foreign.js';
import { signalsOf } from '../site/site.js';
import { formatTime } from '../units/time.js';
import type { Command, CommandIo } from './command.js';
import { noteLines } from './note-lines.js';
import { parseOptions, readSiteOrTell, textOf, wrongUsage } from './options.js';
import { progressLine } from './progress.js';

const USAGE = `takeline import --map MAP SITE FILE --out RECORDING

turns a recording in somebody else's form into one that takeline replay takes, sorted by time; values stay raw, since units and scale
are the site's. Plain or gzipped text
  --map MAP        a YAML file that says how FILE is read:
                     form: wide | long | mqtt         a column a signal, a row a reading, or JSON lines of time, topic, payload
                     delimiter: ";"   decimal: ","   encoding: utf-8 | latin1 | utf-16le   skip_lines: 0
                     time: { columns: [Date, Time], format: DD.MM.YYYY HH:mm:ss, zone: Europe/Oslo }
                     long: { name: Tag, value: Value }
                     signals: [{ from: "Pos left", signal: line/tu1/left/position }]
                     missing: ["NaN", "Bad"]
                   format is iso, epoch-ms, epoch-s or a pattern. Of a local time that comes twice as daylight saving ends, the first is
                   meant until times go back; one that the clock skips is no time
  --out RECORDING  .csv, .csv.gz or .parquet by its name

exit code: 0 done, 1 a file cannot be used, 2 wrong usage`;

/** `takeline import`: a recording in somebody else's form into ours. */
export const importCommand: Command = { usage: USAGE, run };

async function run(args: readonly string[], io: CommandIo): Promise<number> {
  const parsed = parseOptions('import', USAGE, args, { map: { type: 'string' }, out: { type: 'string' } }, io);
  if (typeof parsed === 'number') return parsed;
  const [sitePath, file, extra] = parsed.positionals;
  const [mapPath, out] = [textOf(parsed, 'map'), textOf(parsed, 'out')];
  if (sitePath === undefined || file === undefined) return wrongUsage('import', 'a site file and a file to import are needed', io);
  if (extra !== undefined) return wrongUsage('import', `one file at a time: what is ${extra}?`, io);
  if (mapPath === undefined || out === undefined) return wrongUsage('import', '--map MAP and --out RECORDING are needed', io);
  const site = await readSiteOrTell(sitePath, io);
  if (site === undefined) return 1;
  const rejected = new Map<RejectReason, number>();
  const recording = openForeign(file, await importMapOf(mapPath, site), site, (_line, reason) => {
    rejected.set(reason, (rejected.get(reason) ?? 0) + 1);
  });
  const names = signalsOf(site).map(({ name }) => name);
  const writer = await createRecordingWriter(out);
  const progress = progressLine();
  let readings = 0;
  let [firstMs, lastMs] = [NaN, NaN];
  try {
    for await (const { count, timeMs, signal, value } of recording) {
      for (let i = 0; i < count; i++) {
        const behind = writer.write(timeMs[i] as number, names[signal[i] as number] ?? '', value[i] as number);
        if (behind !== undefined) await behind;
      }
      readings += count;
      if (Number.isNaN(firstMs)) firstMs = timeMs[0] ?? NaN;
      lastMs = timeMs[count - 1] ?? lastMs;
      progress.show(recording.share, Number.isNaN(lastMs) ? '' : formatTime(Math.round(lastMs)));
    }
    await writer.close();
  } catch (error) {
    await writer.discard();
    throw error;
  } finally {
    progress.clear();
  }
  const span = Number.isNaN(firstMs) ? 'none that could be used' : `${formatTime(firstMs)} to ${formatTime(lastMs)}`;
  io.out(`${String(recording.rows)} rows, ${String(readings)} readings, ${span}, in ${out}`);
  const counts = [...rejected].map(([reason, count]) => `${String(count)} ${reason}`);
  io.out(`not used: ${counts.length === 0 ? 'none' : counts.join(', ')}`);
  for (const line of noteLines(recording.notes)) io.out(line);
  return 0;
}
