import type { Static, TSchema } from 'typebox';

/** A type with every key spelt out as optional or required, and read-only throughout, so that two ways of writing it are one. */
type Spelt<T> = T extends readonly unknown[]
  ? { readonly [Key in keyof T]: Spelt<T[Key]> }
  : T extends object
    ? {
        readonly [Key in keyof T]-?: object extends Pick<T, Key>
          ? ['optional', Spelt<Exclude<T[Key], undefined>>]
          : ['required', Spelt<T[Key]>];
      }
    : T;

/** Whether two types are the same, optional keys and all. */
type Same<A, B> = [Spelt<A>] extends [Spelt<B>] ? ([Spelt<B>] extends [Spelt<A>] ? true : false) : false;

type Describe<Message> = <Schema extends TSchema>(
  schema: Schema,
  ...held: Same<Static<Schema>, Message> extends true ? [] : [fault: 'the schema says something else than the interface']
) => Schema;

/**
 * Holds a schema to the interface of `messages.ts` that it describes: the compiler refuses it where the two do not say the same.
 *
 * @returns what takes the schema, and gives it back
 */
export function describing<Message>(): Describe<Message> {
  return <Schema extends TSchema>(...[schema]: readonly [schema: Schema, ...held: readonly unknown[]]) => schema;
}
