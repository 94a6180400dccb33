/** Lines that only one of two texts has, in order, and in how far they occur more than once: `-` for the first, `+` for the second. */
export function differingLines(before: string, after: string): readonly string[] {
  const [old, now] = [before.split('\n'), after.split('\n')];
  const spare = countsOf(now);
  const gone = old.filter((line) => !take(spare, line));
  const left = countsOf(old);
  const come = now.filter((line) => !take(left, line));
  return [...gone.map((line) => `- ${line}`), ...come.map((line) => `+ ${line}`)];
}

function countsOf(lines: readonly string[]): Map<string, number> {
  const counts = new Map<string, number>();
  for (const line of lines) counts.set(line, (counts.get(line) ?? 0) + 1);
  return counts;
}

function take(counts: Map<string, number>, line: string): boolean {
  const count = counts.get(line) ?? 0;
  if (count > 0) counts.set(line, count - 1);
  return count > 0;
}
