/** Whole numbers up to 2^53 as bytes, seven bits in each, the least first; those that may be negative fold the sign in. */
export class ByteRun {
  private bytes = new Uint8Array(4096);
  private view = new DataView(this.bytes.buffer);
  private length = 0;

  byte(value: number): void {
    this.room(1);
    this.bytes[this.length++] = value;
  }

  /** @param value - whole, not negative */
  count(value: number): void {
    this.room(10);
    let rest = value;
    while (rest >= 0x80) {
      this.bytes[this.length++] = (rest % 0x80) | 0x80;
      rest = Math.floor(rest / 0x80);
    }
    this.bytes[this.length++] = rest;
  }

  /** @param value - whole, of either sign: 0, −1, 1, −2 … become 0, 1, 2, 3 … */
  whole(value: number): void {
    this.count(value < 0 ? -2 * value - 1 : 2 * value);
  }

  double(value: number): void {
    this.room(8);
    this.view.setFloat64(this.length, value, true);
    this.length += 8;
  }

  raw(bytes: Uint8Array): void {
    this.room(bytes.length);
    this.bytes.set(bytes, this.length);
    this.length += bytes.length;
  }

  done(): Uint8Array {
    return this.bytes.subarray(0, this.length);
  }

  private room(more: number): void {
    if (this.length + more <= this.bytes.length) return;
    const wider = new Uint8Array(Math.max(this.bytes.length * 2, this.length + more));
    wider.set(this.bytes);
    this.bytes = wider;
    this.view = new DataView(wider.buffer);
  }
}

/** Reads what a `ByteRun` wrote, in the same order. */
export class ByteRunReader {
  private at = 0;
  private readonly view: DataView;

  constructor(private readonly bytes: Uint8Array) {
    this.view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  }

  byte(): number {
    return this.view.getUint8(this.at++);
  }

  count(): number {
    let value = 0;
    for (let scale = 1; ; scale *= 0x80) {
      const byte = this.byte();
      value += (byte & 0x7f) * scale;
      if (byte < 0x80) return value;
    }
  }

  whole(): number {
    const folded = this.count();
    return folded % 2 === 0 ? folded / 2 : -(folded + 1) / 2;
  }

  double(): number {
    const value = this.view.getFloat64(this.at, true);
    this.at += 8;
    return value;
  }

  raw(length: number): Uint8Array {
    const { at } = this;
    this.at += length;
    if (this.at > this.bytes.length) throw new RangeError('the bytes end too early');
    return this.bytes.subarray(at, this.at);
  }
}
