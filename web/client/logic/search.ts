/** Whether every word typed occurs somewhere in what a take-up is known by; case and accents do not matter. */
export function matches(query: string, knownBy: readonly string[]): boolean {
  const text = plain(knownBy.join(' '));
  return plain(query)
    .split(/\s+/)
    .every((word) => text.includes(word));
}

function plain(text: string): string {
  return text.normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase().trim();
}
