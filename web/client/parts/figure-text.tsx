import { computed } from '@preact/signals';
import { useMemo } from 'preact/hooks';
import type { Figure } from '../../../agent/contract/messages.js';
import { show, type DisplayKind } from '../../../agent/units/display.js';
import { oldWords } from '../logic/age.js';
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

interface AgeProps {
  readonly at: string | undefined;
  /** Where nobody looks: as old as it was when it was drawn. */
  readonly unseen?: boolean;
}

/** How old a reading is; redraws itself when the words change, and nothing around it. */
export function Age({ at, unseen = false }: AgeProps) {
  if (at === undefined) return <span class="age">never read</span>;
  const atMs = Date.parse(at);
  return unseen ? <span class="age">{oldWords(nowMs.peek() - atMs)}</span> : <GrowingAge atMs={atMs} />;
}

function GrowingAge({ atMs }: { readonly atMs: number }) {
  const words = useMemo(() => computed(() => oldWords(nowMs.value - atMs)), [atMs]);
  return <span class="age">{words.value}</span>;
}
