import { rename, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { TakelineFault } from '../process/fault.js';
import { makeFolder } from '../process/make-folder.js';
import { sayWhy } from '../process/say-why.js';
import { writeWhole } from '../process/write-whole.js';
import { CASE_FILES, EXPECTED_FOLDER, resultTexts, runCase } from './replay-cases.js';
import type { ReplayResult } from './replay.js';

/** What a case is made of, as texts. */
export interface CaseParts {
  readonly name: string;
  readonly siteText: string;
  /** CSV with its header. */
  readonly recordingText: string;
  /** Service entries as JSON lines; empty for none. */
  readonly serviceText: string;
  /** What it teaches, in a sentence or two; left out, what the replay found is said. */
  readonly teaches?: string;
}

export interface KeptCase {
  readonly folder: string;
  /** Everything in it, as texts. */
  readonly files: readonly { readonly name: string; readonly text: string }[];
  readonly result: ReplayResult;
}

const NAME = /^[a-z0-9][a-z0-9-]{0,63}$/;

/**
 * Writes a case with today's result as what is expected: to be looked at as text before it is trusted. The folder appears whole or
 * not at all.
 *
 * @param into - the folder of cases
 * @throws TakelineFault where the name is none or taken, the recording is too large, or its site or entries cannot be used
 */
export async function keepCase(parts: CaseParts, into: string): Promise<KeptCase> {
  const { name, siteText, recordingText, serviceText } = parts;
  if (!NAME.test(name)) {
    throw new TakelineFault('case-name', `"${name}" cannot be the name of a fixture; use small letters, digits and hyphens, 64 at most`);
  }
  const folder = join(into, name);
  const draft = join(into, `.${name}.draft`);
  try {
    await rm(draft, { recursive: true, force: true });
    await makeFolder(join(draft, EXPECTED_FOLDER));
    const files: { name: string; text: string }[] = [];
    const write = async (file: string, text: string): Promise<void> => {
      await writeWhole(join(draft, file), text);
      files.push({ name: file, text });
    };
    await write(CASE_FILES.site, siteText);
    await write(CASE_FILES.recording, recordingText);
    if (serviceText.trim() !== '') await write(CASE_FILES.service, serviceText);
    const result = await runCase({ name, folder: draft });
    for (const [file, text] of resultTexts(result)) await write(join(EXPECTED_FOLDER, file), text);
    await write(CASE_FILES.about, aboutText(name, parts.teaches ?? whatWasFound(result)));
    await rename(draft, folder);
    return { folder, files, result };
  } catch (error) {
    await rm(draft, { recursive: true, force: true }).catch(() => undefined);
    throw keepFault(error, folder);
  }
}

function keepFault(error: unknown, folder: string): unknown {
  if (error instanceof TakelineFault) return error;
  const code = error instanceof Error && 'code' in error ? error.code : undefined;
  if (code === 'ENOTEMPTY' || code === 'EEXIST') {
    return new TakelineFault('case-taken', `${folder}: there is a fixture of that name; choose another, or remove it first`);
  }
  if (code === undefined) return error;
  return new TakelineFault(
    'case-not-written',
    `${folder}: the fixture cannot be written (${sayWhy(error)}); choose another folder, or make room`,
  );
}

function aboutText(name: string, teaches: string): string {
  const words = name.replaceAll('-', ' ');
  return `# ${words.charAt(0).toUpperCase()}${words.slice(1)}\n\n${wrapped(teaches)}\n`;
}

/** Lines of the width that the other texts of a case have. */
function wrapped(text: string): string {
  const lines: string[] = [];
  let line = '';
  for (const word of text.trim().split(/\s+/)) {
    if (line !== '' && line.length + word.length >= 140) {
      lines.push(line);
      line = '';
    }
    line = line === '' ? word : `${line} ${word}`;
  }
  return [...lines, line].join('\n');
}

function whatWasFound({ alarms, findings, readings }: ReplayResult): string {
  const raised = [...new Set(alarms.filter(({ change }) => change === 'raised').map(({ alarm }) => alarm))];
  const told = [...new Set(findings.map(({ finding }) => finding))];
  const list = (keys: readonly string[]): string => (keys.length === 0 ? 'none' : keys.join(', '));
  return `A stretch of ${String(readings)} readings, kept as it was found. Alarms: ${list(raised)}. Findings: ${list(told)}.`;
}
