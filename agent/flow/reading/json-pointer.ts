/** The reference tokens of an RFC 6901 JSON Pointer; undefined where it is none. The empty pointer is the whole document. */
export function pointerTokens(pointer: string): readonly string[] | undefined {
  if (pointer === '') return [];
  if (!pointer.startsWith('/') || /~(?![01])/.test(pointer)) return undefined;
  return pointer
    .slice(1)
    .split('/')
    .map((token) => token.replaceAll('~1', '/').replaceAll('~0', '~'));
}

/** What the tokens lead to in a parsed document; undefined where the way ends early. */
export function follow(document: unknown, tokens: readonly string[]): unknown {
  let at = document;
  for (const token of tokens) {
    if (Array.isArray(at)) {
      // RFC 6901 §4: an index has no leading zeros, and "-" names no existing element.
      at = /^(0|[1-9]\d*)$/.test(token) ? (at as readonly unknown[])[Number(token)] : undefined;
    } else if (typeof at === 'object' && at !== null && Object.hasOwn(at, token)) {
      at = (at as Readonly<Record<string, unknown>>)[token];
    } else {
      return undefined;
    }
  }
  return at;
}
