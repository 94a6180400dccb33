import { describe, expect, it } from 'vitest';
import type { Command, CommandRow } from '../../agent/commands/command.js';
import { runCommand } from '../../agent/commands/run-command.js';
import { TakelineFault } from '../../agent/process/fault.js';

const command = (name: string, run: Command['run']): CommandRow => ({
  name,
  summary: `${name}s a thing`,
  load: () => Promise.resolve({ usage: `takeline ${name}`, run }),
});
const COMMANDS = [
  command('check', async (args, io) => {
    io.out(args.join(' '));
    return Promise.resolve(0);
  }),
  command('replay', () => Promise.reject(new TakelineFault('some-fault', 'file.csv: it cannot be used; use another', 1))),
  command('record', () => Promise.reject(new Error('a broken promise of our own'))),
];

async function run(...args: string[]): Promise<{ code: number; out: string[]; err: string[] }> {
  const out: string[] = [];
  const err: string[] = [];
  const code = await runCommand(COMMANDS, args, { out: (line) => out.push(line), err: (line) => err.push(line) });
  return { code, out, err };
}

describe('the command line', () => {
  it('hands a command what follows its name', async () => {
    expect(await run('check', 'a.yaml', '--schema')).toEqual({ code: 0, out: ['a.yaml --schema'], err: [] });
  });

  it('lists every command where help is asked for, and says that it is no safety device', async () => {
    for (const asked of ['--help', '-h', 'help']) {
      const { code, out } = await run(asked);
      expect(code).toBe(0);
      for (const { name, summary } of COMMANDS) expect(out.join('\n')).toMatch(new RegExp(`takeline ${name} +${summary}`, 'u'));
      expect(out.at(-1)).toContain('not a safety device');
    }
  });

  it('ends with 2 where no command is given, and where there is none of that name', async () => {
    expect((await run()).code).toBe(2);
    const { code, err } = await run('chek');
    expect({ code, lines: err.length }).toEqual({ code: 2, lines: 1 });
    expect(err[0]).toContain('perhaps check was meant');
  });

  it('says a fault of the world in its own line, with its exit code', async () => {
    expect(await run('replay')).toEqual({ code: 1, out: [], err: ['file.csv: it cannot be used; use another'] });
  });

  it('lets a broken promise of the program through, to be seen', async () => {
    await expect(run('record')).rejects.toThrow('a broken promise of our own');
  });
});
