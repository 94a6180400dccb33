import { TakelineFault } from '../process/fault.js';
import { nearMiss } from '../site/near-miss.js';
import type { CommandIo, CommandRow } from './command.js';

/**
 * Runs one command line.
 * @param args - what follows the program's name
 * @returns the exit code: 0 success, 1 bad input or a failure of the world, 2 wrong usage
 */
export async function runCommand(commands: readonly CommandRow[], args: readonly string[], io: CommandIo): Promise<number> {
  const [name, ...rest] = args;
  if (name === undefined || name === '--help' || name === '-h' || name === 'help') {
    for (const line of helpLines(commands)) io.out(line);
    return name === undefined ? 2 : 0;
  }
  const command = commands.find((candidate) => candidate.name === name);
  if (command === undefined) {
    const meant = nearMiss(
      name,
      commands.map((candidate) => candidate.name),
    );
    io.err(`takeline: there is no command ${name}${meant === undefined ? '' : `; perhaps ${meant} was meant`} (see takeline --help)`);
    return 2;
  }
  try {
    return await (await command.load()).run(rest, io);
  } catch (error) {
    if (error instanceof TakelineFault) {
      io.err(error.message);
      return error.exitCode;
    }
    throw error;
  }
}

function helpLines(commands: readonly CommandRow[]): string[] {
  const width = Math.max(...commands.map(({ name }) => name.length));
  return [
    'takeline: watches the sprung take-ups of chain conveyors',
    '',
    ...commands.map(({ name, summary }) => `  takeline ${name.padEnd(width)}  ${summary}`),
    '',
    'takeline COMMAND --help says more. Takeline is not a safety device and stops nothing.',
  ];
}
