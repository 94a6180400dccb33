import { useEffect, useRef, useState } from 'preact/hooks';
import { pictures } from './live.js';
import { me, isSignedOut, wordsOf } from './session.js';

/** Why there is no answer, and the way to ask once more. */
export interface Failed {
  readonly state: 'failed';
  readonly words: string;
  /** It is being asked again. */
  readonly asking: boolean;
  readonly again: () => void;
}

/** An answer of the server on its way: nothing yet, the answer, or why there is none. */
export type Answer<T> = { readonly state: 'loading' } | { readonly state: 'here'; readonly value: T } | Failed;

/**
 * Asks the server when the screen appears and whenever `on` changes; while it asks again, the last answer stays. What could not be
 * answered is asked again when the line to the server is whole again, or a person wants it.
 *
 * @param question - what to ask; what it depends on is in `on`
 */
export function useAnswer<T>(question: () => Promise<T>, on: readonly unknown[]): Answer<T> {
  const [answer, setAnswer] = useState<Answer<T>>({ state: 'loading' });
  const [times, setTimes] = useState(0);
  const failed = useRef(false);
  failed.current = answer.state === 'failed';
  const again = (): void => {
    setAnswer((last) => (last.state === 'failed' ? { ...last, asking: true } : last));
    setTimes((before) => before + 1);
  };
  const whole = pictures.value;
  useEffect(() => {
    if (failed.current) again();
  }, [whole]);
  useEffect(() => {
    let wanted = true;
    question().then(
      (value) => {
        if (wanted) setAnswer({ state: 'here', value });
      },
      (error: unknown) => {
        if (isSignedOut(error)) me.value = null;
        else if (wanted) setAnswer({ state: 'failed', words: wordsOf(error), asking: false, again });
      },
    );
    return () => {
      wanted = false;
    };
  }, [...on, times]);
  return answer;
}
