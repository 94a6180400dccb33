/** Stretches of time as pairs of start and end in ms, in order and apart from one another. */
export type Stretches = readonly (readonly [number, number])[];

/** All that lies in any of them; what touches is joined. */
export function unite(stretches: Stretches): Stretches {
  const out: [number, number][] = [];
  for (const [from, to] of [...stretches].sort((a, b) => a[0] - b[0])) {
    const last = out[out.length - 1];
    if (to <= from) continue;
    if (last !== undefined && from <= last[1]) last[1] = Math.max(last[1], to);
    else out.push([from, to]);
  }
  return out;
}

/** What is left of them without one stretch. */
export function without(stretches: Stretches, fromMs: number, toMs: number): Stretches {
  return stretches.flatMap(([from, to]): Stretches => {
    if (to <= fromMs || from >= toMs) return [[from, to]];
    const pieces: [number, number][] = [
      [from, Math.min(to, fromMs)],
      [Math.max(from, toMs), to],
    ];
    return pieces.filter((piece) => piece[1] > piece[0]);
  });
}

/** The parts of them that lie within a stretch. */
export function within(stretches: Stretches, fromMs: number, toMs: number): Stretches {
  return stretches.map(([from, to]): [number, number] => [Math.max(from, fromMs), Math.min(to, toMs)]).filter(([from, to]) => to > from);
}
