import { useEffect, useState } from 'preact/hooks';

/** So long a person pauses between two keys at most. */
const PAUSE_MS = 350;

/** A value once it has stood still for a moment: a plan is asked for when the typing pauses, not with every key. */
export function useSettled<T>(value: T): T {
  const [settled, setSettled] = useState(value);
  useEffect(() => {
    if (Object.is(value, settled)) return undefined;
    const timer = setTimeout(() => setSettled(value), PAUSE_MS);
    return () => clearTimeout(timer);
  }, [value, settled]);
  return settled;
}
