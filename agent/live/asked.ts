import type { JournalInput } from '../store/journal.js';

/** What a request asks of the agent: an input to journal and take, or why it is refused. */
export type Asked =
  { readonly ok: true; readonly input: JournalInput; readonly done: string } | { readonly ok: false; readonly message: string };

/** When a request comes. */
export interface RequestTime {
  /** By the machine's clock, by which people say when work was done. */
  readonly wallMs: number;
  /** By the data's own, on which what is asked for takes place. */
  readonly dataMs: number;
}
