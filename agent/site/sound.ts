/**
 * A value of which the faulty parts have been taken out: every key may be missing, and an item of a list may be
 * undefined, but whatever is there has its right type. Cross-checks work on it, so that one fault hides no other.
 */
export type Sound<T> = T extends readonly unknown[]
  ? number extends T['length']
    ? readonly (Sound<T[number]> | undefined)[]
    : T
  : T extends object
    ? { readonly [Key in keyof T]?: Sound<T[Key]> | undefined }
    : T;
