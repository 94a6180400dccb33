import type { PlacedComplaint } from './yaml-source.js';

/** Control characters other than tab and line ends, and what decoding puts for bytes that are not UTF-8. */
const NOT_TEXT = /[^\P{Cc}\t\n\r]|\uFFFD/u;

/** A line that says nothing: blank, a comment, or the mark where a document begins. */
const SILENT_LINE = /^\s*(?:#|---\s*$|$)/u;

/** Why a content is no text to read a site from, if so: empty, or not text at all. */
export function textComplaint(content: string): PlacedComplaint | undefined {
  if (content.split('\n').every((line) => SILENT_LINE.test(line))) {
    return {
      line: 1,
      column: 1,
      path: [],
      at: 'value',
      rule: 'file-empty',
      message: 'the file is empty; a site has at least the keys site and conveyors',
    };
  }
  const at = NOT_TEXT.exec(content)?.index;
  if (at === undefined) return undefined;
  const before = content.slice(0, at).split('\n');
  return {
    line: before.length,
    column: (before.at(-1) ?? '').length + 1,
    path: [],
    at: 'value',
    rule: 'file-not-text',
    message: 'this is not text in UTF-8; save the file as UTF-8, and check that it is the site file',
  };
}
