#!/usr/bin/env node
import { runCommand } from './commands/run-command.js';
import { COMMANDS } from './commands/table.js';

// Whoever reads the output may stop early, as `head` does: that is no fault, and nothing more needs to be said.
for (const stream of [process.stdout, process.stderr]) {
  stream.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error;
    process.exit(0);
  });
}

const code = await runCommand(COMMANDS, process.argv.slice(2), {
  out: (line) => {
    process.stdout.write(`${line}\n`);
  },
  err: (line) => {
    process.stderr.write(`${line}\n`);
  },
}).catch((error: unknown) => {
  // A broken promise of our own code: said in a line, with the whole of it for whoever mends it on request.
  process.stderr.write(
    `takeline: something went wrong that is a fault of the program: ${error instanceof Error ? error.message : String(error)}\n`,
  );
  if (process.env['TAKELINE_DEBUG'] !== undefined && error instanceof Error) process.stderr.write(`${error.stack ?? ''}\n`);
  return 1;
});
process.exitCode = code;
