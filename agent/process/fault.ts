/**
 * A failure that a person can do something about. Thrown only at the edge (commands, I/O);
 * the command line prints `message` in one or two plain lines and ends with `exitCode`.
 */
export class TakelineFault extends Error {
  override readonly name = 'TakelineFault';

  /**
   * @param code - key in the catalogue of errors
   * @param message - what happened, and what to do about it, in plain words
   * @param exitCode - 1 for bad input or a failure of the world, 2 for wrong usage
   */
  constructor(
    readonly code: string,
    message: string,
    readonly exitCode: 1 | 2 = 1,
  ) {
    super(message);
  }
}
