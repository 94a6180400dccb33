import type { Place } from './place.js';

/** Far deeper than any site. */
const DEEPEST = 100;
/** What opens a level within a line: an item of a list, a key or a value that is told apart by its sign. */
const SIGN = /[-?:][ \t]+/y;

/**
 * Where a YAML text is nested deeper than a hundred levels, by brackets or by indentation; undefined where it is not. The parser recurses:
 * near the end of the stack it may take the whole process with it, which nothing can catch, so it must not be led there. Brackets and signs
 * within texts are counted as well.
 */
export function tooDeepAt(text: string): Place | undefined {
  let brackets = 0;
  const columns: number[] = [];
  for (const [index, line] of text.split(/\r\n|[\r\n]/).entries()) {
    const place = (at: number): Place => ({ line: index + 1, column: at + 1 });
    if (open(columns, line) > DEEPEST) return place(columns[DEEPEST] ?? 0);
    for (let at = 0; at < line.length; at++) {
      const character = line[at];
      if (character === '[' || character === '{') brackets++;
      else if (character === ']' || character === '}') brackets--;
      if (brackets > DEEPEST) return place(at);
    }
  }
  return undefined;
}

/** Takes a line into the columns at which the levels that are open begin. @returns how many there are */
function open(columns: number[], line: string): number {
  let at = line.length - line.trimStart().length;
  if (at === line.length) return columns.length;
  while ((columns.at(-1) ?? -1) >= at) columns.pop();
  columns.push(at);
  for (SIGN.lastIndex = at; SIGN.test(line); at = SIGN.lastIndex) columns.push(SIGN.lastIndex);
  return columns.length;
}
