/**
 * Why a value is not known. The first reason met on a reading's way is the one that travels to the screen.
 */
export type UnknownReason =
  | 'never-read'
  | 'signal-lost'
  | 'signal-fault'
  | 'running-unknown'
  | 'standing'
  | 'at-stop'
  | 'springs-solid'
  | 'springs-free'
  | 'change-unexplained'
  | 'not-settled'
  | 'not-configured';

/** A value that is not known, and why. It has no number in it, so it cannot be compared with a limit. */
export interface Unknown {
  readonly unknown: UnknownReason;
}

/** A number, or the reason why there is none. */
export type Quantity = number | Unknown;

const cache = new Map<UnknownReason, Unknown>();

/** The one frozen `Unknown` for a reason (shared, so that states can be compared cheaply). */
export function unknown(reason: UnknownReason): Unknown {
  let value = cache.get(reason);
  if (value === undefined) {
    value = Object.freeze({ unknown: reason });
    cache.set(reason, value);
  }
  return value;
}

/** Whether a quantity has a number. */
export function isKnown(quantity: Quantity): quantity is number {
  return typeof quantity === 'number';
}

/** Applies `f` where every argument is known; otherwise gives the first argument's reason. */
export function mapKnown(f: (...values: number[]) => number, ...quantities: Quantity[]): Quantity {
  const values: number[] = [];
  for (const quantity of quantities) {
    if (!isKnown(quantity)) return quantity;
    values.push(quantity);
  }
  return f(...values);
}

/** The number, or `fallback` where it is unknown: for tables and files that leave a blank. */
export function knownOr<T>(quantity: Quantity, fallback: T): number | T {
  return isKnown(quantity) ? quantity : fallback;
}
