import { signal } from '@preact/signals';

/** Whether the server has other screens by now than those that run here: it was brought up to date meanwhile. */
export const newerScreens = signal(false);

/**
 * Looks at the page that the server hands out now. The digest in the name of its script is another with every change, so that no
 * version has to be kept; what cannot be told counts as unchanged.
 */
export async function lookForNewerScreens(): Promise<void> {
  try {
    const response = await fetch('/', { cache: 'no-cache' });
    if (!response.ok) return;
    const page = new DOMParser().parseFromString(await response.text(), 'text/html');
    const [here, there] = [scriptOf(document), scriptOf(page)];
    if (here !== null && there !== null && here !== there) newerScreens.value = true;
  } catch {
    // The line is broken again; it is looked at when it is whole.
  }
}

function scriptOf(page: Document): string | null {
  return page.querySelector('script[type=module][src]')?.getAttribute('src') ?? null;
}
