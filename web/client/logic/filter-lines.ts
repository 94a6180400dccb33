import type { BenchSettings } from '../../../agent/contract/bench.js';

/** The keys of the site file's `filter`, by what the bench calls them. */
const KEYS: readonly (readonly [keyof BenchSettings, string])[] = [
  ['spikeK', 'spike_k'],
  ['smoothingS', 'smoothing_s'],
  ['windowMin', 'window_min'],
  ['fewestReadings', 'fewest_readings'],
  ['jumpMm', 'jump_mm'],
];

/** A `filter` on one line, as this page writes it, or the line it begins with. */
const LINE = /^filter:.*$/m;

/** What a site file's own `filter` says, where it stands on one line. */
export function filterOf(siteText: string): BenchSettings {
  const line = LINE.exec(siteText)?.[0] ?? '';
  return Object.fromEntries(
    KEYS.flatMap(([name, key]) => {
      const value = new RegExp(`\\b${key}:\\s*([0-9.]+)`).exec(line)?.[1];
      return value === undefined ? [] : [[name, Number(value)]];
    }),
  );
}

/**
 * The site file with these settings of the filter. What is undefined is left out, so that it is as usual.
 * @returns undefined where the file writes its `filter` over several lines: whoever wrote it so changes it by hand
 */
export function withFilter(siteText: string, settings: BenchSettings): string | undefined {
  const said = KEYS.flatMap(([name, key]) => (settings[name] === undefined ? [] : [`${key}: ${settings[name]}`]));
  const line = said.length === 0 ? '' : `filter: { ${said.join(', ')} }`;
  const there = LINE.exec(siteText)?.[0];
  if (there === undefined) return line === '' ? siteText : `${siteText.trimEnd()}\n${line}\n`;
  if (!/^filter:\s*\{.*\}\s*(#.*)?$/.test(there)) return undefined;
  return siteText.replace(line === '' ? /^filter:.*\n?/m : LINE, line);
}
