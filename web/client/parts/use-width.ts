import { useLayoutEffect, useRef, useState } from 'preact/hooks';
import type { RefObject } from 'preact';

/**
 * The width of an element in px, kept up to date: drawings to scale are made anew for it, since stretching them would
 * stretch their letters.
 */
export function useWidth<T extends Element>(): readonly [RefObject<T | null>, number] {
  const element = useRef<T>(null);
  const [width, setWidth] = useState(0);
  useLayoutEffect(() => {
    const { current } = element;
    if (current === null) return undefined;
    setWidth(Math.floor(current.getBoundingClientRect().width));
    const observer = new ResizeObserver(([entry]) => setWidth(Math.floor(entry?.contentRect.width ?? 0)));
    observer.observe(current);
    return () => observer.disconnect();
  }, []);
  return [element, width];
}
