import { signal } from '@preact/signals';

/** What the window has room for; px. */
export const windowSize = signal({ widthPx: innerWidth, heightPx: innerHeight });

addEventListener('resize', () => (windowSize.value = { widthPx: innerWidth, heightPx: innerHeight }));
