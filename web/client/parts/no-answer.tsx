import type { Failed } from '../state/use-answer.js';

interface NoAnswerProps {
  readonly failed: Pick<Failed, 'words' | 'asking' | 'again'>;
  /** What was asked for, so that those who listen know one such button from another. */
  readonly what: string;
}

/** Why something is not shown, in words, and the button that asks for it again. */
export function NoAnswer({ failed: { words, asking, again }, what }: NoAnswerProps) {
  return (
    <div class="no-answer">
      <p class={asking ? 'quiet-words' : 'problem'} role="status">
        {asking ? 'Asking …' : words}
      </p>
      {/* Not disabled while it asks: whoever stands on it with the keyboard would lose the place. */}
      <button type="button" class="no-print" aria-label={`Try again: ${what}`} aria-disabled={asking} onClick={asking ? undefined : again}>
        Try again
      </button>
    </div>
  );
}
