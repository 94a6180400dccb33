import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { replayCommand } from '../../agent/commands/replay.js';
import { differingLines } from '../../agent/replay/differing-lines.js';
import { REPLAY_FILES } from '../../agent/replay/write-replay.js';

type ReplayFile = (typeof REPLAY_FILES)[number];
export type ReplayTexts = Readonly<Record<ReplayFile, string>>;

/** A folder of fixtures/replay: a site, a recording, maybe service entries, and what is expected. */
export interface ReplayCase {
  readonly name: string;
  readonly folder: string;
}

/** Every case below a folder. @throws Error where there is none, or one of them lacks a file: a check of nothing proves nothing */
export function replayCases(root: string): readonly ReplayCase[] {
  const cases = readdirSync(root, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map(({ name }): ReplayCase => ({ name, folder: join(root, name) }));
  if (cases.length === 0) throw new Error(`${root}: there is no case in it`);
  for (const { folder } of cases) {
    for (const needed of ['site.yaml', 'recording.csv', 'about.md']) {
      if (!existsSync(join(folder, needed))) throw new Error(`${folder}: ${needed} is missing`);
    }
  }
  return cases;
}

/** Runs the replay command over a case, as a person would, into a folder that is gone afterwards. */
export async function replayCase({ folder }: ReplayCase, recording = join(folder, 'recording.csv')): Promise<ReplayTexts> {
  const out = mkdtempSync(join(tmpdir(), 'takeline-replay-'));
  try {
    const service = join(folder, 'service.jsonl');
    const entries = existsSync(service) ? ['--service', service] : [];
    const errors: string[] = [];
    const io = { out: () => undefined, err: (line: string) => errors.push(line) };
    const code = await replayCommand.run([join(folder, 'site.yaml'), recording, ...entries, '--out', out], io);
    if (code !== 0) throw new Error(`${folder}: the replay ended with ${code}: ${errors.join('\n')}`);
    return readTexts(out, (path) => readFileSync(path, 'utf8'));
  } finally {
    rmSync(out, { recursive: true });
  }
}

/** What is expected of a case; an empty text for a file that is not there yet. */
export function expectedTexts({ folder }: ReplayCase): ReplayTexts {
  return readTexts(join(folder, 'expected'), (path) => (existsSync(path) ? readFileSync(path, 'utf8') : ''));
}

function readTexts(folder: string, read: (path: string) => string): ReplayTexts {
  return Object.fromEntries(REPLAY_FILES.map((name) => [name, read(join(folder, name))])) as Record<ReplayFile, string>;
}

/** Writes what is expected from now on, and gives the difference as lines: `-` for what was expected, `+` for what is. */
export function rewriteExpected(one: ReplayCase, texts: ReplayTexts): readonly string[] {
  const before = expectedTexts(one);
  const folder = join(one.folder, 'expected');
  mkdirSync(folder, { recursive: true });
  return REPLAY_FILES.flatMap((name) => {
    const path = join(folder, name);
    if (existsSync(path) && before[name] === texts[name]) return [];
    writeFileSync(path, texts[name]);
    return [`${path}:`, ...differingLines(before[name], texts[name])];
  });
}
