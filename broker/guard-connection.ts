import type { Duplex } from 'node:stream';
import { type Breach, type PacketLengths, createPacketGuard } from './packet-guard.js';

/** CONNACK with return code 0x01, "unacceptable protocol level" (MQTT 3.1.1 §3.2). */
const UNACCEPTABLE_LEVEL = Buffer.from([0x20, 0x02, 0x00, 0x01]);

/**
 * Puts a packet guard on a connection before the broker reads from it. The reads are looked at on their way: a stream in between
 * would cost every message a detour.
 *
 * @param onUnacceptableLevel - is told; the client has been answered
 */
export function guardConnection(connection: Duplex, longest: PacketLengths, onUnacceptableLevel: () => void): void {
  const inspect = createPacketGuard(longest);
  const read = connection.read.bind(connection) as (size?: number) => Buffer | null;
  let breach: Breach | undefined;
  connection.read = (size) => {
    if (breach) return null;
    const bytes = read(size);
    breach = bytes === null ? undefined : inspect(bytes);
    if (!breach) return bytes;
    if (breach === 'unacceptable-level') {
      onUnacceptableLevel();
      connection.end(UNACCEPTABLE_LEVEL, () => connection.destroy());
    } else {
      connection.destroy(new Error('sent a packet longer than is allowed'));
    }
    return null;
  };
}
