/** A recording being written. Until `close` has ended, nothing stands under its name. */
export interface RecordingWriter {
  /**
   * Adds a row. Rows are written in the order they come in.
   *
   * @param timeMs - epoch ms, rounded to whole ones
   * @param signal - `<conveyor>/<takeup>/<side>/position` and the like
   * @param value - the raw value; NaN where a payload was no number, which a reader lists as unparsable
   * @returns a promise to wait for before the next row, where the disk is behind; it rejects with a TakelineFault
   */
  write(timeMs: number, signal: string, value: number): Promise<void> | undefined;
  /**
   * Completes the file and gives it its name: temporary file, fsync, rename.
   *
   * @throws TakelineFault where it cannot be written; nothing is left behind
   */
  close(): Promise<void>;
  /** Gives up and removes what was written. Harmless after `close`. */
  discard(): Promise<void>;
}
