/** What a filter has judged, in order; as many as it says. */
export class JudgedColumns {
  readonly time: Float64Array;
  readonly value: Float64Array;
  /** 1 for a spike. */
  readonly spike: Uint8Array;
  /** Spread of the sensor's noise as it was known then, see `noiseSpread`. */
  readonly noise: Float64Array;
  /** By reading staged: how many were judged when it and those staged before it were in. */
  readonly upTo: Int32Array;

  constructor(readonly room: number) {
    this.time = new Float64Array(room);
    this.value = new Float64Array(room);
    this.spike = new Uint8Array(room);
    this.noise = new Float64Array(room);
    this.upTo = new Int32Array(room);
  }
}
