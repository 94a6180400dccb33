/** A length as it is drawn: a tenth of a pixel is the least that anybody sees, and what has not moved by so much is not drawn anew. */
export function px(length: number): number {
  return Math.round(length * 10) / 10;
}
