import type { FutureMark } from './ruler.js';

/** A future mark's words and where they end or have their middle. */
export interface FutureLabel {
  readonly days: number;
  readonly x: number;
  readonly words: string;
  readonly anchor: 'middle' | 'end';
}

/** A letter's width, in parts of its height: that of the digits of a usual sans serif. */
const LETTER_WIDTH = 0.6;

/** The words of the future marks; where two would run into one another the nearer mark goes without. */
export function futureLabels(marks: readonly FutureMark[], letterPx: number): readonly FutureLabel[] {
  const labels = marks.map(({ days, x, beyond }): FutureLabel => {
    return beyond ? { days, x, words: `stop before ${days} d`, anchor: 'end' } : { days, x, words: `${days} d`, anchor: 'middle' };
  });
  const width = ({ words }: FutureLabel): number => words.length * letterPx * LETTER_WIDTH;
  const from = (label: FutureLabel): number => label.x - width(label) / (label.anchor === 'end' ? 1 : 2);
  const to = (label: FutureLabel): number => label.x + (label.anchor === 'end' ? 0 : width(label) / 2);
  return labels.filter((label, index) => labels.slice(index + 1).every((later) => to(label) + letterPx / 2 < from(later)));
}
