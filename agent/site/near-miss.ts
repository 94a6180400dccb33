/** Ways in which people write units, beside the ones that the site file knows. */
const UNIT_WORDS: Readonly<Record<string, string>> = {
  millimetre: 'mm',
  millimeter: 'mm',
  inch: 'in',
  inches: 'in',
  '"': 'in',
  centimetre: 'cm',
  centimeter: 'cm',
  metre: 'm',
  meter: 'm',
  milliamp: 'mA',
  milliampere: 'mA',
  volt: 'V',
  '%': 'percent',
  pct: 'percent',
  count: 'counts',
  raw: 'counts',
  celsius: 'C',
  degc: 'C',
  '°c': 'C',
  fahrenheit: 'F',
  degf: 'F',
  '°f': 'F',
  mpm: 'm/min',
  metresperminute: 'm/min',
  fpm: 'ft/min',
  feetperminute: 'ft/min',
};

const UNIT_ENDING = /_(?:mm|cm|m|in|ft|n|kn|lbf|c|f|deg|rad|pct|percent|s|min|h|mpa)$/u;

/**
 * The candidate that `word` was probably meant to be: the same but for case and hyphens, a unit in other words, the
 * same name with another unit or none (`pitch_in` or `pitch` for `pitch_mm`), or a few letters away. None where nothing is near.
 */
export function nearMiss(word: string, candidates: readonly string[]): string | undefined {
  const flat = flatten(word);
  const same = candidates.find((candidate) => flatten(candidate) === flat);
  if (same !== undefined) return same;

  const unit = UNIT_WORDS[flat] ?? UNIT_WORDS[flat.replace(/s$/u, '')];
  if (unit !== undefined && candidates.includes(unit)) return unit;

  const stem = stemOf(word);
  const sameStem = candidates.filter((candidate) => stemOf(candidate) === stem || candidate.startsWith(`${word}_`));
  if (sameStem.length > 0) return sameStem.length === 1 ? sameStem[0] : undefined;

  return nearest(word, candidates);
}

function nearest(word: string, candidates: readonly string[]): string | undefined {
  const reach = word.length < 3 ? 0 : word.length < 4 ? 1 : word.length < 8 ? 2 : 3;
  let best: string | undefined;
  let bestDistance = reach + 1;
  for (const candidate of candidates) {
    const distance = editDistance(word.toLowerCase(), candidate.toLowerCase());
    if (distance < bestDistance && distance < candidate.length) {
      best = candidate;
      bestDistance = distance;
    }
  }
  return best;
}

function flatten(word: string): string {
  return word.toLowerCase().replace(/[\s_-]/gu, '');
}

function stemOf(key: string): string {
  return flatten(
    key
      .replace(/(?<=[a-z])(?=[A-Z])/gu, '_')
      .toLowerCase()
      .replace(UNIT_ENDING, ''),
  );
}

/**
 * Optimal string alignment distance: the fewest insertions, deletions, substitutions and swaps of neighbours that
 * turn `a` into `b`. Swaps count once because fingers make them as easily as any other slip.
 * Source: Damerau 1964 (CACM 7:3), in the restricted form that edits no substring twice.
 */
export function editDistance(a: string, b: string): number {
  let beforeLast: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const substitution = a[i - 1] === b[j - 1] ? 0 : 1;
      let cost = Math.min((last[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, (last[j - 1] ?? 0) + substitution);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) cost = Math.min(cost, (beforeLast[j - 2] ?? 0) + 1);
      row.push(cost);
    }
    beforeLast = last;
    last = row;
  }
  return last[b.length] ?? 0;
}
