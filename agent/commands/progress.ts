/** A line of progress on a terminal; nothing where standard error is no terminal. */
export interface ProgressLine {
  /** @param share - 0…1 */
  show(share: number, note: string): void;
  clear(): void;
}

const BAR = 30;

/** A progress line on standard error, drawn anew in place; at most one drawing for each per cent. */
export function progressLine(terminal: NodeJS.WriteStream = process.stderr): ProgressLine {
  let drawn = -1;
  return {
    show(share, note) {
      if (!terminal.isTTY) return;
      const percent = Math.floor(share * 100);
      if (percent === drawn) return;
      drawn = percent;
      const filled = Math.round(share * BAR);
      terminal.write(`\r[${'='.repeat(filled)}${' '.repeat(BAR - filled)}] ${String(percent)} % ${note}`);
    },
    clear() {
      if (terminal.isTTY && drawn >= 0) terminal.write('\r\x1b[K');
    },
  };
}
