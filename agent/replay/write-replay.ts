import { open, rename, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { alarmLine, findingLine, REJECTS_HEADER, SETTLED_HEADER, settledRow } from '../contract/replay-files.js';
import { TakelineFault } from '../process/fault.js';
import { makeFolder } from '../process/make-folder.js';
import { sayWhy } from '../process/say-why.js';
import type { ReplayResult } from './replay.js';
import { summaryOf } from './summary.js';

/**
 * Writes the files of a replay into a folder, made where it is missing. Each file is complete or not there: it is written beside its
 * place, made durable and then moved in.
 * @throws TakelineFault `replay-not-written` where the folder or the disk refuses
 */
export async function writeReplay(result: ReplayResult, folder: string): Promise<void> {
  try {
    await makeFolder(folder);
    for (const [name, lines] of resultLines(result)) await writeLines(join(folder, name), lines);
  } catch (error) {
    throw new TakelineFault(
      'replay-not-written',
      `${folder}: the results cannot be written (${sayWhy(error)}); choose another folder with --out, or make room.`,
    );
  }
}

/** What a replay writes (contracts §4), file by file. */
export const REPLAY_FILES = ['alarms.jsonl', 'settled.csv', 'findings.jsonl', 'rejects.csv', 'summary.json'] as const;
type ReplayFile = (typeof REPLAY_FILES)[number];

/** The lines of each file that a replay writes. */
export function resultLines(result: ReplayResult): readonly (readonly [ReplayFile, Iterable<string>])[] {
  return [
    ['alarms.jsonl', result.alarms.filter(({ change }) => change === 'raised' || change === 'cleared').map(alarmLine)],
    ['settled.csv', [SETTLED_HEADER, ...result.days.map(settledRow)]],
    ['findings.jsonl', result.findings.map(findingLine)],
    ['rejects.csv', rejectLines(result)],
    ['summary.json', [JSON.stringify(summaryOf(result), null, 2)]],
  ];
}

/** One at a time: a recording of a year may have many million of them. */
function* rejectLines({ rejects }: ReplayResult): Generator<string> {
  yield REJECTS_HEADER;
  for (const { line, reason } of rejects) yield `${String(line)},${reason}`;
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
