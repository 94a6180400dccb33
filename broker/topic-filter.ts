/**
 * Topic filters of MQTT 3.1.1 §4.7: `+` stands for one level, `#` for the level it follows and all below.
 * A filter that begins with a wildcard does not reach topics that begin with `$` (§4.7.2).
 */

/**
 * Whether every message that `asked` brings is also brought by `allowed`.
 *
 * @param asked - a topic filter; a topic is the filter of itself alone
 */
export function filterCovers(allowed: string, asked: string): boolean {
  if (asked.startsWith('$') && /^[+#]/.test(allowed)) return false;
  const allowedLevels = allowed.split('/');
  const askedLevels = asked.split('/');
  for (const [index, level] of allowedLevels.entries()) {
    // Reached where the asked filter has ended one level before as well: `a/#` means `a` itself too.
    if (level === '#') return true;
    const other = askedLevels[index];
    if (other === undefined || other === '#') return false;
    if (level !== '+' && level !== other) return false;
  }
  return askedLevels.length === allowedLevels.length;
}
