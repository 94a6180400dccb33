import { useEffect, useState } from 'preact/hooks';

/** A phone held upright, or a window as narrow. */
const NARROW = '(width < 800px)';

/** Whether there is room for a phone's width only; kept up to date. */
export function useNarrow(): boolean {
  const [narrow, setNarrow] = useState(() => matchMedia(NARROW).matches);
  useEffect(() => {
    const query = matchMedia(NARROW);
    const look = (): void => setNarrow(query.matches);
    look();
    query.addEventListener('change', look);
    return () => query.removeEventListener('change', look);
  }, []);
  return narrow;
}
