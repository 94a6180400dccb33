import type { TakeupNow } from '../../../agent/contract/messages.js';

/** When the older of the two sides' readings was made: what is computed from both is no younger. Undefined where a side was never read. */
export function olderReading({ left, right }: Pick<TakeupNow, 'left' | 'right'>): string | undefined {
  if (left.positionAt === undefined || right.positionAt === undefined) return undefined;
  return Date.parse(left.positionAt) < Date.parse(right.positionAt) ? left.positionAt : right.positionAt;
}
