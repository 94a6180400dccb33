/** A place in the text, both counted from 1. */
export interface Place {
  readonly line: number;
  readonly column: number;
}
