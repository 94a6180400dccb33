import { parseArgs, type ParseArgsConfig } from 'node:util';
import { TakelineFault } from '../process/fault.js';
import { formatFault } from '../site/format-fault.js';
import { readSiteFile } from '../site/read-site-file.js';
import type { SiteReading } from '../site/read-site.js';
import type { Site } from '../site/site.js';
import type { CommandIo } from './command.js';

export type Options = NonNullable<ParseArgsConfig['options']>;

/** What a command line says: options by name, and what stands beside them. */
export interface Parsed {
  readonly values: Readonly<Record<string, string | boolean | undefined>>;
  readonly positionals: readonly string[];
}

/**
 * Parses a command's arguments, `--help` among them.
 * @returns the exit code where there is nothing more to do: help was asked for, or the usage is wrong
 */
export function parseOptions(name: string, usage: string, args: readonly string[], options: Options, io: CommandIo): Parsed | number {
  try {
    const { values, positionals } = parseArgs({
      args: [...args],
      allowPositionals: true,
      options: { ...options, help: { type: 'boolean', short: 'h' } },
    });
    if (values['help'] !== true) return { values, positionals };
    for (const line of usage.split('\n')) io.out(line);
    return 0;
  } catch (error) {
    return wrongUsage(name, sayUsage(error), io);
  }
}

/** What Node's parser of options says, in one line: its own words for a value that begins with a dash take three. */
function sayUsage(error: unknown): string {
  const message = error instanceof Error ? error.message : String(error);
  const [, option = 'an option'] = /'(?:-\w, )?(--?[^\s'=]+)/.exec(message) ?? [];
  const code = error instanceof Error && 'code' in error ? error.code : undefined;
  if (code === 'ERR_PARSE_ARGS_UNKNOWN_OPTION') return `Unknown option '${option}'`;
  if (/ambiguous/.test(message)) return `${option} needs a value; one that begins with a dash is written ${option}=-1`;
  if (/argument missing/.test(message)) return `${option} needs a value`;
  if (/does not take an argument/.test(message)) return `${option} takes no value`;
  return message.replaceAll(/\s+/g, ' ').trim();
}

/** Says what is wrong with a command line. @returns exit code 2 */
export function wrongUsage(name: string, what: string, io: CommandIo): 2 {
  io.err(`takeline ${name}: ${what} (see takeline ${name} --help)`);
  return 2;
}

/** The text of an option; undefined where it was not given. */
export function textOf(parsed: Parsed, option: string): string | undefined {
  const value = parsed.values[option];
  return typeof value === 'string' ? value : undefined;
}

/** A port number, or the fallback. @throws TakelineFault with exit code 2 where it is none */
export function portOf(parsed: Parsed, option: string, fallback: number): number {
  const text = textOf(parsed, option);
  if (text === undefined) return fallback;
  const port = Number(text);
  if (/^\d+$/.test(text) && port <= 65_535) return port;
  throw new TakelineFault('wrong-usage', `--${option} takes a port number from 0 to 65535, not ${text}`, 2);
}

/** Reads a site file and tells its faults. @returns undefined where it has any */
export async function readSiteOrTell(path: string, io: CommandIo): Promise<Site | undefined> {
  return siteOrTell(await readSiteFile(path), io);
}

/** The site that was read; its faults are told. @returns undefined where it has any */
export function siteOrTell(reading: SiteReading, io: CommandIo): Site | undefined {
  if (reading.ok) return reading.site;
  for (const fault of reading.faults) io.err(formatFault(fault));
  return undefined;
}
