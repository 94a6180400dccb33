#!/usr/bin/env node
import { runCommand } from './commands/run-command.js';
import { COMMANDS } from './commands/table.js';
import { TakelineFault } from './process/fault.js';

// Whoever reads the output may stop early, as `head` does: that is no fault, and nothing more needs to be said.
for (const stream of [process.stdout, process.stderr]) {
  stream.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error;
    process.exit(0);
  });
}

/** Says why it ends, of a fault of our own code on request the whole for whoever mends it. @returns the exit code */
function lastWords(error: unknown): number {
  if (error instanceof TakelineFault) {
    process.stderr.write(`${error.message}\n`);
    return error.exitCode;
  }
  process.stderr.write(
    `takeline: something went wrong that is a fault of the program: ${error instanceof Error ? error.message : String(error)}\n`,
  );
  if (process.env['TAKELINE_DEBUG'] !== undefined && error instanceof Error) process.stderr.write(`${error.stack ?? ''}\n`);
  return 1;
}

// What nobody waits for and nobody catches. Ending at once loses nothing: what was acknowledged is on the disk.
process.on('uncaughtException', (error: unknown) => {
  process.exit(lastWords(error));
});

process.exitCode = await runCommand(COMMANDS, process.argv.slice(2), {
  out: (line) => {
    process.stdout.write(`${line}\n`);
  },
  err: (line) => {
    process.stderr.write(`${line}\n`);
  },
}).catch(lastWords);
