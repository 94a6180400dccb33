import { isAlias, isMap, isNode, isPair, isScalar, isSeq, LineCounter, parseDocument, visit, type Document, type YAMLError } from 'yaml';
import { tooDeepAt } from './nesting.js';
import type { Place } from './place.js';
import type { Complaint, SitePath } from './site-fault.js';

/** A complaint whose place is known already. */
export type PlacedComplaint = Complaint & Place;

/** The content of a YAML text, and where in the text each part of it stands. */
export interface YamlSource {
  readonly value: unknown;
  /** Where the key or the value at the path stands; for what is not there, where its nearest holder stands. */
  readonly placeOf: (path: SitePath, at: 'key' | 'value') => Place;
  /** Repeated keys: the rest of such a file can still be checked. */
  readonly complaints: readonly PlacedComplaint[];
}

export type YamlReading =
  { readonly ok: true; readonly source: YamlSource } | { readonly ok: false; readonly complaints: readonly PlacedComplaint[] };

/** Reads one YAML 1.2 document (core schema: no dates, no yes/no, no tags of one's own). */
export function readYaml(text: string): YamlReading {
  const tooDeep = tooDeepAt(text);
  if (tooDeep !== undefined) return { ok: false, complaints: [syntax('it is nested too deep here', tooDeep)] };
  const lines = new LineCounter();
  const document = parseDocument(text, { lineCounter: lines, prettyErrors: false, logLevel: 'silent' });
  const placeAt = (offset: number): Place => {
    const { line, col } = lines.linePos(offset);
    return { line: Math.max(line, 1), column: Math.max(col, 1) };
  };

  const [repeated, broken] = partition(document.errors, (error) => error.code === 'DUPLICATE_KEY');
  // After the first break the parser only guesses where things belong, so its further errors would mislead.
  const [firstBroken] = broken.toSorted((a, b) => a.pos[0] - b.pos[0]);
  const telling = [...(firstBroken === undefined ? [] : [firstBroken]), ...document.warnings];
  const complaints = [...telling.map((error) => syntax(sayError(error), placeAt(error.pos[0]))), ...unresolvedAliases(document, placeAt)];
  if (complaints.length > 0) return { ok: false, complaints };

  let value: unknown;
  try {
    value = document.toJS();
  } catch {
    // The parser's own guard against aliases that multiply without end; it knows no place.
    return { ok: false, complaints: [syntax('aliases multiply without end', { line: 1, column: 1 })] };
  }
  return {
    ok: true,
    source: {
      value,
      placeOf: (path, at) => placeAt(offsetOf(document, path, at)),
      complaints: repeated.map((error) => ({
        ...placeAt(error.pos[0]),
        path: pathOfKeyAt(document, error.pos[0]),
        at: 'key',
        rule: 'duplicate-key',
        message: 'this key stands here twice; keep one of them',
      })),
    },
  };
}

function syntax(message: string, place: Place): PlacedComplaint {
  return { ...place, path: [], at: 'value', rule: 'yaml-syntax', message: `not valid YAML: ${message}` };
}

/** The parser's words, where a person who never read the YAML standard would not know what to do. */
function sayError(error: YAMLError): string {
  switch (error.code) {
    case 'TAB_AS_INDENT':
      return 'a tab stands where the line is indented; use spaces';
    case 'MULTIPLE_DOCS':
      return 'a second document begins here; a site is one document, so take the --- out';
    case 'TAG_RESOLVE_FAILED':
      return 'tags (words led by !) are not used in a site file';
    default:
      return error.message.charAt(0).toLowerCase() + error.message.slice(1);
  }
}

function unresolvedAliases(document: Document.Parsed, placeAt: (offset: number) => Place): PlacedComplaint[] {
  const found: PlacedComplaint[] = [];
  visit(document, {
    Alias: (_, alias) => {
      if (alias.resolve(document) === undefined) {
        found.push(syntax(`the alias *${alias.source} has no anchor &${alias.source} before it`, placeAt(alias.range?.[0] ?? 0)));
      }
    },
  });
  return found;
}

/** Walks the nodes along the path, as far as they go. */
function offsetOf(document: Document.Parsed, path: SitePath, at: 'key' | 'value'): number {
  let node: unknown = document.contents;
  let offset = startOf(node) ?? 0;
  for (const step of path) {
    if (isAlias(node)) node = node.resolve(document);
    if (isMap(node)) {
      const pair = node.items.find((item) => keyText(item.key) === step);
      if (pair === undefined) return offset;
      offset = startOf(pair.key) ?? offset;
      node = pair.value;
    } else if (isSeq(node) && typeof step === 'number') {
      node = node.items[step];
      offset = startOf(isPair(node) ? node.key : node) ?? offset;
    } else {
      return offset;
    }
  }
  const value = isScalar(node) && node.source !== '' ? startOf(node) : undefined;
  return at === 'value' ? (value ?? offset) : offset;
}

function pathOfKeyAt(document: Document.Parsed, offset: number): SitePath {
  let found: SitePath = [];
  visit(document, {
    Pair: (_, pair, ancestors) => {
      if (startOf(pair.key) !== offset) return undefined;
      found = [...ancestors, pair].flatMap((node, index, all): SitePath => {
        if (isPair(node)) return [keyText(node.key)];
        const child: unknown = all[index + 1];
        return isSeq(node) ? [node.items.indexOf(child)] : [];
      });
      return visit.BREAK;
    },
  });
  return found;
}

function keyText(key: unknown): string {
  return isScalar<string | number | boolean | null>(key) ? String(key.value ?? '') : String(key);
}

function startOf(node: unknown): number | undefined {
  return isNode(node) ? node.range?.[0] : undefined;
}

function partition<T>(items: readonly T[], test: (item: T) => boolean): [T[], T[]] {
  return [items.filter(test), items.filter((item) => !test(item))];
}
