import type { ForeignNotes } from '../contract/bench.js';

/** What a person should know of how a recording in somebody else's form was read. */
export function noteLines({ missing, outOfOrder, ambiguous, skipped }: ForeignNotes): readonly string[] {
  return [
    ...(missing === 0 ? [] : [`${String(missing)} fields held no reading`]),
    ...(outOfOrder === 0 ? [] : [`${String(outOfOrder)} readings stood out of order and were sorted`]),
    ...(ambiguous === 0
      ? []
      : [`${String(ambiguous)} rows have a local time that comes twice as daylight saving ends: taken by the order of the rows`]),
    ...(skipped === 0 ? [] : [`${String(skipped)} rows have a local time that the clock skips as daylight saving begins`]),
  ];
}
