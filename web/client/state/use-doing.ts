import { useState } from 'preact/hooks';
import { wordsOf } from './session.js';

/** Something that a button does: whether it is being done, and why it was not. */
export interface Doing {
  readonly busy: boolean;
  readonly problem: string;
  /** Does it, unless it is being done. @returns whether it was done */
  readonly run: (action: () => Promise<void>) => Promise<boolean>;
}

export function useDoing(): Doing {
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState('');
  const run = async (action: () => Promise<void>): Promise<boolean> => {
    if (busy) return false;
    setBusy(true);
    setProblem('');
    try {
      await action();
      return true;
    } catch (error) {
      setProblem(wordsOf(error));
      return false;
    } finally {
      setBusy(false);
    }
  };
  return { busy, problem, run };
}
