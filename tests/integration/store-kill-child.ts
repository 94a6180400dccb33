import { writeSync } from 'node:fs';
import type { JournalInput } from '../../agent/store/journal.js';
import { openSqliteWriter } from '../../agent/store/sqlite-writer.js';
import { event } from '../store/samples.js';

/**
 * Journals without end, in a data folder given as the argument, and says each acknowledged sequence number on a line of its own. Every
 * value is its own sequence number; every checkpoint's state is the number that it covers, and an alarm event of that time goes with it.
 */
const [dataDir = ''] = process.argv.slice(2);
const store = await openSqliteWriter({ dataDir, signals: ['enamel/running', 'enamel/tu1/left/position'] });
say(store.lastSeq);

for (let round = 1; ; round++) {
  const count = 1 + ((round * 7919) % 400);
  const seqs = Float64Array.from({ length: count }, (_, i) => store.lastSeq + 1 + i);
  say(await store.appendReadings({ count, signal: Int32Array.from(seqs, (seq) => seq % 2), timeMs: seqs, value: seqs }));
  if (round % 3 === 0) say(await journal(operator(store.lastSeq + 1)));
  if (round % 5 === 0) await checkpoint(store.lastSeq);
  // Between its commits it moves readings into blocks, a step at a time.
  await store.compactReadings();
}

/** A write to a pipe has happened when it returns: nothing said is still on its way when the process is killed. */
function say(seq: number): void {
  writeSync(1, `${seq}\n`);
}

function operator(seq: number): JournalInput {
  return { kind: 'operator', timeMs: seq, id: `request-${seq}`, action: { seq } };
}

async function journal(input: JournalInput): Promise<number> {
  const appended = await store.appendInput(input);
  return appended.outcome === 'id-taken' ? -1 : appended.seq;
}

async function checkpoint(seq: number): Promise<void> {
  const events = [event({ id: `event-${seq}`, timeMs: seq })];
  await store.writeOutputs({ events, checkpoint: { seq, fingerprint: 'site', state: String(seq) } });
}
