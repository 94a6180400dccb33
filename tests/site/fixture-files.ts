import { readdirSync, readFileSync } from 'node:fs';

const SITES = new URL('../../fixtures/sites/', import.meta.url);

/** The YAML files of one folder of fixture sites, by name without ending. A folder without files is a mistake. */
export function fixtureSites(folder: 'good' | 'refused' | 'warned'): ReadonlyMap<string, string> {
  const names = readdirSync(new URL(`${folder}/`, SITES)).filter((name) => name.endsWith('.yaml'));
  if (names.length === 0) throw new Error(`fixtures/sites/${folder} holds no site`);
  return new Map(names.map((name) => [name.replace(/\.yaml$/u, ''), readFileSync(new URL(`${folder}/${name}`, SITES), 'utf8')]));
}

/** The text of one good site. */
export function goodSite(name: string): string {
  const text = fixtureSites('good').get(name);
  if (text === undefined) throw new Error(`fixtures/sites/good has no ${name}.yaml`);
  return text;
}

/** The line that is marked as the one at fault, counted from 1. */
export function markedLine(text: string): number {
  const lines = text.split('\n').flatMap((line, index) => (line.includes('# <- here') ? [index + 1] : []));
  const [line] = lines;
  if (line === undefined || lines.length > 1) throw new Error('one line of a refused site is marked "# <- here", no more and no fewer');
  return line;
}
