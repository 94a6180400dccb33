import { signal } from '@preact/signals';

/** Whether the page is being put on paper, where everything counts as seen. */
export const printing = signal(matchMedia('print').matches);

addEventListener('beforeprint', () => (printing.value = true));
addEventListener('afterprint', () => (printing.value = false));
matchMedia('print').addEventListener('change', ({ matches }) => (printing.value = matches));
