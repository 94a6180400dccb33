/** Turns of an adjusting nut: positive tightens, negative backs off. A person at the rod counts quarters. */

/** The nearest quarter turn; a half quarter goes away from zero. */
export function nearestQuarter(turns: number): number {
  const quarters = Math.sign(turns) * Math.round(Math.abs(turns) * 4);
  return quarters === 0 ? 0 : quarters / 4;
}

/** The next quarter turn that backs off at least so far, as a count that is not negative. */
export function quartersToRelease(turns: number): number {
  return Math.max(0, Math.ceil(turns * 4 - 1e-9) / 4);
}

const QUARTERS = ['', '¼', '½', '¾'] as const;

/** `2¼`, `½`, `0`: a count of quarter turns without its direction. */
export function turnsText(turns: number): string {
  const quarters = Math.round(Math.abs(turns) * 4);
  const whole = Math.floor(quarters / 4);
  const part = QUARTERS[quarters % 4] ?? '';
  return whole === 0 && part !== '' ? part : `${String(whole)}${part}`;
}

/** `tighten 2¼ turns`, `back off 1 turn`, `leave as it is`. */
export function turnsWords(turns: number): string {
  const rounded = nearestQuarter(turns);
  if (rounded === 0) return 'leave as it is';
  return `${rounded > 0 ? 'tighten' : 'back off'} ${turnsText(rounded)} ${Math.abs(rounded) > 1 ? 'turns' : 'turn'}`;
}
