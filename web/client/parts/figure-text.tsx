import type { Figure } from '../../../agent/contract/messages.js';
import { show, type DisplayKind } from '../../../agent/units/display.js';
import { ageWords } from '../logic/age.js';
import { reasonOf } from '../logic/figure.js';
import { nowMs } from '../state/live.js';
import { units } from '../state/session.js';

interface FigureTextProps {
  readonly kind: DisplayKind;
  readonly figure: Figure | undefined;
  /** Where the reason stands elsewhere. */
  readonly brief?: boolean;
}

/** A number with its unit, or that it is not known and why. */
export function FigureText({ kind, figure, brief = false }: FigureTextProps) {
  if (typeof figure !== 'number') {
    const reason = brief ? undefined : reasonOf(figure);
    return <span class="unknown">unknown{reason === undefined ? null : <span class="reason">{reason}</span>}</span>;
  }
  const { value, unit } = show(kind, figure, units.value);
  return (
    <span class="figure">
      <span class="value">{value}</span>
      <span class="unit">{`\u00a0${unit}`}</span>
    </span>
  );
}

/** How old a reading is; redraws itself each second and nothing around it. */
export function Age({ at }: { readonly at: string | undefined }) {
  if (at === undefined) return <span class="age">never read</span>;
  return <span class="age">{ageWords(nowMs.value - Date.parse(at))} old</span>;
}
