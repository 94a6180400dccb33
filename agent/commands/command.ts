/** Where a command writes: lines to standard output and standard error. */
export interface CommandIo {
  readonly out: (line: string) => void;
  readonly err: (line: string) => void;
}

/** One command of `takeline`. */
export interface Command {
  /** How it is called and what its options do, in as many lines as it takes. */
  readonly usage: string;
  /**
   * @param args - what follows the command's name
   * @returns the exit code: 0 success, 1 bad input or a failure of the world, 2 wrong usage
   */
  run(args: readonly string[], io: CommandIo): Promise<number>;
}

/** A command as `takeline --help` lists it. */
export interface CommandRow {
  readonly name: string;
  /** What it does, in one line. */
  readonly summary: string;
  load(): Promise<Command>;
}
