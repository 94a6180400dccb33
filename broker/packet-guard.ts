/** What is wrong with the bytes of a connection. */
export type Breach = 'packet-too-long' | 'unacceptable-level';

const CONNECT = 1;
const SUBSCRIBE = 8;
const UNSUBSCRIBE = 10;
const CONTINUES = 0x80;
/** A bridge sets the highest bit of the protocol level and means the same level. */
const LEVEL_BITS = 0x7f;
/** Protocol names and the level that goes with each: MQTT 3.1.1 §3.1.2.2 and MQTT 3.1 §3.1. */
const LEVELS: ReadonlyMap<string, number> = new Map([
  ['MQTT', 4],
  ['MQIsdp', 3],
]);
const LONGEST_NAME = 6;

/** Greatest lengths in bytes, without the fixed header. */
export interface PacketLengths {
  readonly packet: number;
  /** SUBSCRIBE and UNSUBSCRIBE name every signal of a site at once. */
  readonly filterList: number;
}

/**
 * Watches the bytes of one connection go by, without keeping them: the length that each packet announces, and the protocol level
 * of the first. Only the few bytes of each fixed header are looked at.
 *
 * The packet parser alone would gather up to 256 MB before anyone could object, and would drop an unknown protocol level without
 * the answer that [MQTT-3.1.2-2] asks for.
 *
 * @param longest - greatest "remaining length" let through: of a list of topic filters, and of any other packet
 * @returns looks at the next bytes; gives the first breach, or undefined
 */
export function createPacketGuard(longest: PacketLengths): (bytes: Uint8Array) => Breach | undefined {
  let expects: 'type' | 'length' | 'body' = 'type';
  let remaining = 0;
  let shift = 0;
  /** The beginning of a CONNECT's body, while its level is not yet seen. */
  let opening: number[] | undefined;
  let isFirst = true;
  let limit = longest.packet;

  return (bytes) => {
    let at = 0;
    while (at < bytes.length) {
      if (expects === 'type') {
        const type = (bytes[at] ?? 0) >> 4;
        opening = isFirst && type === CONNECT ? [] : undefined;
        // Nobody who has not even said who it is sends a list.
        limit = !isFirst && (type === SUBSCRIBE || type === UNSUBSCRIBE) ? longest.filterList : longest.packet;
        isFirst = false;
        remaining = 0;
        shift = 0;
        expects = 'length';
        at++;
      } else if (expects === 'length') {
        const byte = bytes[at++] ?? 0;
        remaining += (byte & ~CONTINUES) << shift;
        shift += 7;
        if (remaining > limit) return 'packet-too-long';
        if ((byte & CONTINUES) === 0) expects = remaining === 0 ? 'type' : 'body';
        else if (shift > 21) return 'packet-too-long';
      } else {
        const end = Math.min(bytes.length, at + remaining);
        while (opening && at < end) {
          opening.push(bytes[at++] ?? 0);
          remaining--;
          const level = levelOf(opening);
          if (level === 'unacceptable') return 'unacceptable-level';
          if (level !== 'unseen') opening = undefined;
        }
        remaining -= end - at;
        at = end;
        if (remaining === 0) expects = 'type';
      }
    }
    return undefined;
  };
}

/** `other`: no name of MQTT, which is for the parser to refuse. */
function levelOf(opening: readonly number[]): 'unseen' | 'acceptable' | 'unacceptable' | 'other' {
  const [high, low] = opening;
  if (high === undefined || low === undefined) return 'unseen';
  const length = high * 256 + low;
  if (length > LONGEST_NAME) return 'other';
  const level = opening[2 + length];
  if (level === undefined) return 'unseen';
  const expected = LEVELS.get(String.fromCharCode(...opening.slice(2, 2 + length)));
  if (expected === undefined) return 'other';
  return (level & LEVEL_BITS) === expected ? 'acceptable' : 'unacceptable';
}
