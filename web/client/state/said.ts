import { signal } from '@preact/signals';

/** What came of the last thing that a person did here; numbered, so that the same words twice are two things. */
export const said = signal<{ readonly text: string; readonly nth: number }>({ text: '', nth: 0 });

/** Tells those who listen to the screen, once, what came of what they did; who looks sees it where it was done. */
export function say(text: string): void {
  said.value = { text, nth: said.peek().nth + 1 };
}
