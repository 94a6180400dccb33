import { scoreOf } from './plant-score.js';
import { scorePlants } from './plants.js';
import { heldBy, spreadPlants } from './spread-plants.js';
import { scoreTable } from './table.js';

/** Enough that 90 % is told from 80 and from 97. */
const SPREAD_PLANTS = 100;

/** Runs the whole test set, or the plants whose name holds one of the words. @param tell - hears of each plant that is done */
export function score(words: readonly string[], tell: (line: string) => void): string {
  const wanted = (id: string): boolean => words.length === 0 || words.some((word) => id.includes(word));
  const scores = scorePlants()
    .filter(({ id }) => wanted(id))
    .map((plant) => {
      const one = scoreOf(plant);
      for (const { timeMs, key, text } of one.falseAlarms) tell(`${plant.id}: false ${key} at ${new Date(timeMs).toISOString()}: ${text}`);
      for (const { what, delayMs, allowedMs, inTime } of one.found) {
        if (!inTime) tell(`${plant.id}: ${what} after ${hours(delayMs)} h, ${hours(allowedMs)} h allowed`);
      }
      const off = one.dates.filter(({ off: by }) => !(Math.abs(by) <= 0.1));
      if (off.length > 0)
        tell(
          `${plant.id}: ${String(off.length)} of ${String(one.dates.length)} dates off, days ${off.map(({ day, off: by }) => `${String(day)} (${(100 * by).toFixed(0)} %)`).join(', ')}`,
        );
      tell(`${plant.id} done, elongation within ${one.elongation.worst.toFixed(4)} (${one.elongation.worstDate})`);
      return one;
    });
  const held = spreadPlants(words.length === 0 || wanted('spread') ? SPREAD_PLANTS : 0).map(heldBy);
  return scoreTable(scores, held);
}

function hours(ms: number): string {
  return (ms / 3600_000).toFixed(2);
}
