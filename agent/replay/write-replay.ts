import { mkdir, open, rename, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { alarmLine, findingLine, REJECTS_HEADER, SETTLED_HEADER, settledRow } from '../contract/replay-files.js';
import { TakelineFault } from '../process/fault.js';
import type { ReplayResult } from './replay.js';
import { summaryOf } from './summary.js';

/**
 * Writes the files of a replay into a folder, made where it is missing. Each file is complete or not there: it is written beside its
 * place, made durable and then moved in.
 * @throws TakelineFault `replay-not-written` where the folder or the disk refuses
 */
export async function writeReplay(result: ReplayResult, folder: string): Promise<void> {
  const files: readonly (readonly [string, Iterable<string>])[] = [
    ['alarms.jsonl', result.alarms.filter(({ change }) => change === 'raised' || change === 'cleared').map(alarmLine)],
    ['settled.csv', [SETTLED_HEADER, ...result.days.map(settledRow)]],
    ['findings.jsonl', result.findings.map(findingLine)],
    ['rejects.csv', [REJECTS_HEADER, ...result.rejects.map(({ line, reason }) => `${String(line)},${reason}`)]],
    ['summary.json', [JSON.stringify(summaryOf(result), null, 2)]],
  ];
  try {
    await mkdir(folder, { recursive: true });
    for (const [name, lines] of files) await writeLines(join(folder, name), lines);
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    throw new TakelineFault(
      'replay-not-written',
      `${folder}: the results cannot be written (${reason}); choose another folder with --out, or make room.`,
    );
  }
}

/** So many lines are put together before they are written: enough to be quick, little enough to be small in memory. */
const LINES_AT_ONCE = 5000;

async function writeLines(path: string, lines: Iterable<string>): Promise<void> {
  const part = `${path}.part`;
  const file = await open(part, 'w');
  try {
    let block: string[] = [];
    const flush = async (): Promise<void> => {
      if (block.length > 0) await file.appendFile(`${block.join('\n')}\n`);
      block = [];
    };
    for (const line of lines) {
      block.push(line);
      if (block.length >= LINES_AT_ONCE) await flush();
    }
    await flush();
    await file.sync();
  } catch (error) {
    await file.close();
    await rm(part, { force: true });
    throw error;
  }
  await file.close();
  await rename(part, path);
}
