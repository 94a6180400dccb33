import { medianOf } from '../../units/quantile.js';

/** χ² at 99 %, by degrees of freedom 1…6 (any table of the χ² distribution). */
const CHI_SQUARED_99 = [6.635, 9.21, 11.345, 13.277, 15.086, 16.812] as const;
/** Fewer of one weekday say nothing about that weekday. */
const LEAST_OF_A_WEEKDAY = 3;

/**
 * What each weekday lies above or below the others, where the week plainly shows (Kruskal–Wallis test at 99 %: Kruskal & Wallis
 * 1952, J. Amer. Statist. Assoc. 47). A conveyor that runs light at the weekend has such a profile.
 *
 * @param days - day numbers of the values
 * @param residuals - values about a line
 * @returns one deviation per value, 0 on the mean over the weekdays; undefined where no profile shows or the values do not suffice
 */
export function weeklyProfile(days: readonly number[], residuals: readonly number[]): readonly number[] | undefined {
  const weekdays = days.map((day) => Math.floor(day) % 7);
  const groups = new Map<number, number[]>();
  weekdays.forEach((weekday, i) => groups.set(weekday, [...(groups.get(weekday) ?? []), i]));
  const critical = CHI_SQUARED_99[groups.size - 2];
  if (critical === undefined) return undefined;
  for (const members of groups.values()) if (members.length < LEAST_OF_A_WEEKDAY) return undefined;
  if (kruskalWallis(residuals, [...groups.values()]) < critical) return undefined;

  const medians = new Map<number, number>();
  for (const [weekday, members] of groups) medians.set(weekday, medianOf(members.map((i) => residuals[i] as number)));
  const mean = [...medians.values()].reduce((sum, value) => sum + value, 0) / medians.size;
  return weekdays.map((weekday) => (medians.get(weekday) as number) - mean);
}

/** H = 12/(N(N+1))·Σ Rᵢ²/nᵢ − 3(N+1), over the tie correction. */
function kruskalWallis(values: readonly number[], groups: readonly (readonly number[])[]): number {
  const n = values.length;
  const order = values.map((_value, i) => i).sort((a, b) => (values[a] as number) - (values[b] as number));
  const ranks = new Float64Array(n);
  let ties = 0;
  for (let from = 0; from < n;) {
    let to = from + 1;
    while (to < n && values[order[to] as number] === values[order[from] as number]) to++;
    for (let k = from; k < to; k++) ranks[order[k] as number] = (from + to + 1) / 2;
    ties += (to - from) ** 3 - (to - from);
    from = to;
  }
  const sum = groups.reduce((total, members) => total + members.reduce((s, i) => s + (ranks[i] as number), 0) ** 2 / members.length, 0);
  const correction = 1 - ties / (n ** 3 - n);
  return correction === 0 ? 0 : ((12 / (n * (n + 1))) * sum - 3 * (n + 1)) / correction;
}
