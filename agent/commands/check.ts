import { parseArgs } from 'node:util';
import { TakelineFault } from '../process/fault.js';
import { describeSite } from '../site/describe-site.js';
import { formatFault } from '../site/format-fault.js';
import { readSiteFile } from '../site/read-site-file.js';
import { siteJsonSchema } from '../site/schema.js';
import type { Command, CommandIo } from './command.js';

const USAGE = `takeline check SITE      validate a site file and print what it would watch
takeline check --schema  print the JSON Schema of site files, for editors

exit code: 0 the site is good, 1 it has faults (all of them are listed), 2 wrong usage`;

/** `takeline check SITE`: validates a site file and prints what it would watch, or every fault. */
export const checkCommand: Command = { usage: USAGE, run };

async function run(args: readonly string[], io: CommandIo): Promise<number> {
  const asked = parse(args);
  if (typeof asked === 'string') {
    io.err(`takeline check: ${asked}`);
    io.err('usage: takeline check SITE (see takeline check --help)');
    return 2;
  }
  if ('help' in asked) return print(io, USAGE.split('\n'));
  if ('schema' in asked) return print(io, siteJsonSchema().trimEnd().split('\n'));
  return checkSite(asked.site, io);
}

async function checkSite(path: string, io: CommandIo): Promise<number> {
  try {
    const reading = await readSiteFile(path);
    if (!reading.ok) {
      for (const fault of reading.faults) io.err(formatFault(fault));
      return 1;
    }
    return print(io, [...describeSite(reading.site), ...reading.warnings.map((warning) => `warning: ${formatFault(warning)}`)]);
  } catch (error) {
    if (!(error instanceof TakelineFault)) throw error;
    io.err(error.message);
    return error.exitCode;
  }
}

function print(io: CommandIo, lines: readonly string[]): number {
  for (const line of lines) io.out(line);
  return 0;
}

/** What is asked for, or what is wrong with how it is asked. */
function parse(args: readonly string[]): { readonly help: true } | { readonly schema: true } | { readonly site: string } | string {
  try {
    const { values, positionals } = parseArgs({
      args: [...args],
      allowPositionals: true,
      options: { help: { type: 'boolean', short: 'h' }, schema: { type: 'boolean' } },
    });
    if (values.help === true) return { help: true };
    if (values.schema === true) return positionals.length === 0 ? { schema: true } : '--schema takes no site file';
    const [site, ...more] = positionals;
    if (site === undefined) return 'which site file? give its path';
    return more.length === 0 ? { site } : `one site file at a time, not also ${more.join(', ')}`;
  } catch (error) {
    return error instanceof Error ? (error.message.split('\n')[0] ?? '') : String(error);
  }
}
