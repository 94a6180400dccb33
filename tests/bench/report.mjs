/** The middle of some numbers. */
export function median(values) {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}

/** Prints a heading and rows of a label and a figure. */
export function table(heading, rows) {
  const width = Math.max(...rows.map(([label]) => label.length));
  process.stdout.write(`\n${heading}\n`);
  for (const [label, figure] of rows) process.stdout.write(`  ${label.padEnd(width)}  ${figure}\n`);
}
