import type { Quantity } from '../logic/history-series.js';
import { quantityWords } from '../logic/history-words.js';
import { leftOutOfHistory } from '../state/preferences.js';

/** The strip's name among what can be left out. */
export const RUNNING = 'running';

interface HistoryChoiceProps {
  readonly known: readonly Quantity[];
  /** Whether there is a running signal. */
  readonly runs: boolean;
}

/** What is drawn of the history, remembered on this device. The position always is. */
export function HistoryChoice({ known, runs }: HistoryChoiceProps) {
  const choices = [
    ...(runs ? [{ name: RUNNING, words: 'Conveyor running' }] : []),
    ...known.filter((quantity) => quantity !== 'position').map((quantity) => ({ name: quantity, words: quantityWords(quantity).short })),
  ];
  if (choices.length === 0) return null;
  const leftOut = leftOutOfHistory.value;
  const turn = (name: string, on: boolean): void => {
    leftOutOfHistory.value = on ? leftOut.filter((one) => one !== name) : [...leftOut, name];
  };
  return (
    <div class="spans history-choice" role="group" aria-label="What is drawn">
      {choices.map(({ name, words }) => (
        <label key={name}>
          <input type="checkbox" checked={!leftOut.includes(name)} onChange={({ currentTarget }) => turn(name, currentTarget.checked)} />
          {words}
        </label>
      ))}
    </div>
  );
}
