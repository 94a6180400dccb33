import { useEffect, useRef, useState } from 'preact/hooks';
import { pictures } from './live.js';
import { me, isSignedOut, wordsOf } from './session.js';

/** An answer of the server on its way: nothing yet, the answer, or why there is none. */
export type Answer<T> =
  { readonly state: 'loading' } | { readonly state: 'here'; readonly value: T } | { readonly state: 'failed'; readonly words: string };

/**
 * Asks the server when the screen appears and whenever `on` changes; while it asks again, the last answer stays. What could not be
 * answered is asked again when the line to the server is whole again.
 *
 * @param question - what to ask; what it depends on is in `on`
 */
export function useAnswer<T>(question: () => Promise<T>, on: readonly unknown[]): Answer<T> {
  const [answer, setAnswer] = useState<Answer<T>>({ state: 'loading' });
  const [again, setAgain] = useState(0);
  const failed = useRef(false);
  failed.current = answer.state === 'failed';
  const whole = pictures.value;
  useEffect(() => {
    if (failed.current) setAgain((times) => times + 1);
  }, [whole]);
  useEffect(() => {
    let wanted = true;
    question().then(
      (value) => {
        if (wanted) setAnswer({ state: 'here', value });
      },
      (error: unknown) => {
        if (isSignedOut(error)) me.value = null;
        else if (wanted) setAnswer({ state: 'failed', words: wordsOf(error) });
      },
    );
    return () => {
      wanted = false;
    };
  }, [...on, again]);
  return answer;
}
