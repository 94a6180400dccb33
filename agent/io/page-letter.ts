/** A page as a channel sends it. */
export interface PageLetter {
  /** The same at every try, so that whoever gets it twice can tell. */
  readonly id: string;
  /** Mail address, or what the gateway knows the person by. */
  readonly address: string;
  readonly madeMs: number;
  readonly urgent: boolean;
  readonly subject: string;
  readonly text: string;
  /** What the webhook carries besides. */
  readonly detail: Readonly<Record<string, unknown>>;
}

/**
 * What became of it: taken by the other side, with its answer; or not, and whether another try could help.
 */
export type Posted =
  { readonly ok: true; readonly said: string } | { readonly ok: false; readonly forGood: boolean; readonly said: string };

/** A channel by which pages leave. It gives an answer in any case, and in bounded time. */
export interface PagePost {
  send(letter: PageLetter): Promise<Posted>;
}

/** What went wrong, in one line. */
export function whyOf(error: unknown): string {
  const message = error instanceof Error ? error.message : String(error);
  const cause = error instanceof Error && error.cause instanceof Error ? ` (${error.cause.message})` : '';
  return `${message}${cause}`.replaceAll(/\s+/gu, ' ').trim();
}
