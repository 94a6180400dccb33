import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createPacketGuard } from '../../broker/packet-guard.js';
import { connectBytes, publishBytes } from './packets.js';

const LONGEST = 1000;
const LONGEST_LIST = 5000;

function verdictOf(bytes: Uint8Array, cuts: readonly number[] = []): string | undefined {
  const inspect = createPacketGuard({ packet: LONGEST, filterList: LONGEST_LIST });
  const edges = [0, ...cuts.filter((cut) => cut < bytes.length).sort((a, b) => a - b), bytes.length];
  for (const [index, edge] of edges.slice(1).entries()) {
    const breach = inspect(bytes.subarray(edges[index], edge));
    if (breach !== undefined) return breach;
  }
  return undefined;
}

describe('the packet guard', () => {
  it('lets MQTT 3.1.1 and MQTT 3.1 in, bridges too', () => {
    expect(verdictOf(connectBytes({ clientId: 'press-7' }))).toBeUndefined();
    expect(verdictOf(connectBytes({ clientId: 'press-7', name: 'MQIsdp', level: 3 }))).toBeUndefined();
    expect(verdictOf(connectBytes({ clientId: 'press-7', level: 0x84 }))).toBeUndefined();
  });

  it.each([0, 3, 5, 6, 127])('stops level %i of MQTT', (level) => {
    expect(verdictOf(connectBytes({ clientId: 'press-7', level }))).toBe('unacceptable-level');
  });

  it('leaves another protocol to the parser', () => {
    expect(verdictOf(Buffer.from('GET / HTTP/1.1\r\n'))).toBeUndefined();
    expect(verdictOf(connectBytes({ clientId: 'press-7', name: 'OTHER', level: 4 }))).toBeUndefined();
  });

  it('stops a packet at the length it announces, before its body comes', () => {
    expect(verdictOf(Buffer.from([0x30, 0xff, 0xff, 0xff, 0x7f]))).toBe('packet-too-long');
    expect(verdictOf(publishBytes('a', Buffer.alloc(LONGEST - 3)))).toBeUndefined();
    expect(verdictOf(publishBytes('a', Buffer.alloc(LONGEST - 2)))).toBe('packet-too-long');
  });

  it('gives a list of filters more room, but not as the first packet', () => {
    const connect = connectBytes({ clientId: 'edge-1' });
    const list = (type: number, length: number) => Buffer.from([(type << 4) | 2, (length & 0x7f) | 0x80, length >> 7]);
    expect(verdictOf(Buffer.concat([connect, list(8, LONGEST_LIST)]))).toBeUndefined();
    expect(verdictOf(Buffer.concat([connect, list(10, LONGEST_LIST)]))).toBeUndefined();
    expect(verdictOf(Buffer.concat([connect, list(8, LONGEST_LIST + 1)]))).toBe('packet-too-long');
    expect(verdictOf(list(8, LONGEST + 1))).toBe('packet-too-long');
  });

  it('stops a length that never ends', () => {
    expect(verdictOf(Buffer.from([0x30, 0x80, 0x80, 0x80, 0x80, 0x00]))).toBe('packet-too-long');
  });

  it('sees the same however the bytes are cut', () => {
    const packet = fc.integer({ min: 0, max: 1400 }).map((size) => publishBytes('takeline/a/in/b', Buffer.alloc(size)));
    const opening = fc.constantFrom(3, 4, 5).map((level) => connectBytes({ clientId: 'press-7', level }));
    const stream = fc.tuple(opening, fc.array(packet, { maxLength: 5 })).map(([first, rest]) => Buffer.concat([first, ...rest]));
    fc.assert(
      fc.property(stream, fc.array(fc.nat({ max: 3000 }), { maxLength: 20 }), (bytes, cuts) => {
        expect(verdictOf(bytes, cuts)).toBe(verdictOf(bytes));
      }),
    );
  });
});
