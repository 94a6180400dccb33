/** A CONNECT byte by byte, so that it may also be one that no client library would send. */
export function connectBytes(options: {
  readonly clientId: string;
  readonly clean?: boolean;
  readonly name?: string;
  readonly level?: number;
  readonly username?: string;
  readonly password?: string;
}): Buffer {
  const { clientId, clean = true, name = 'MQTT', level = 4, username, password } = options;
  const flags = (clean ? 0x02 : 0) | (username === undefined ? 0 : 0x80) | (password === undefined ? 0 : 0x40);
  const body = Buffer.concat([
    text(name),
    Buffer.from([level, flags, 0, 0]),
    text(clientId),
    ...[username, password].flatMap((word) => (word === undefined ? [] : [text(word)])),
  ]);
  return Buffer.concat([Buffer.from([0x10, ...lengthBytes(body.length)]), body]);
}

/** A PUBLISH with QoS 0. */
export function publishBytes(topic: string, payload: Uint8Array): Buffer {
  const body = Buffer.concat([text(topic), Buffer.from(payload)]);
  return Buffer.concat([Buffer.from([0x30, ...lengthBytes(body.length)]), body]);
}

function text(words: string): Buffer {
  const bytes = Buffer.from(words);
  return Buffer.concat([Buffer.from([bytes.length >> 8, bytes.length & 0xff]), bytes]);
}

function lengthBytes(length: number): readonly number[] {
  return length < 128 ? [length] : [(length % 128) | 0x80, ...lengthBytes(Math.floor(length / 128))];
}
