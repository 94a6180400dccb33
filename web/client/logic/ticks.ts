/** A mark on a scale. */
export interface Tick {
  /** In the unit shown. */
  readonly value: number;
  /** Only the greater marks have one. */
  readonly label?: string;
}

const STEPS = [1, 2, 5] as const;

/**
 * Marks for a scale from 0 to `end`, at round numbers of the unit shown.
 *
 * @param end - greatest value, above 0
 * @param mostLabels - as many labels as there is room for
 */
export function scaleTicks(end: number, mostLabels: number): readonly Tick[] {
  if (!(end > 0) || mostLabels < 1) return [];
  const step = roundStep(end / mostLabels);
  const minor = step / 5;
  const decimals = Math.max(0, -Math.floor(Math.log10(step)));
  const count = Math.floor(end / minor + 1e-9);
  return Array.from({ length: count + 1 }, (_, index) => {
    const value = index * minor;
    return index % 5 === 0 ? { value, label: value.toFixed(decimals) } : { value };
  });
}

/** The least of 1, 2, 5, 10, 20 … that is at least `least`. */
function roundStep(least: number): number {
  const power = 10 ** Math.floor(Math.log10(least));
  return power * (STEPS.find((step) => step * power >= least - 1e-9) ?? 10);
}
