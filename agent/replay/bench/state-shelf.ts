import { closeSync, openSync, readSync, writeSync } from 'node:fs';
import type { PipelineSaved } from '../../pipeline.js';
import { TakelineFault } from '../../process/fault.js';
import { sayWhy } from '../../process/say-why.js';

/** A state of the pipeline, and where in the recording it was left. */
export interface ShelvedState {
  /** The next block of the spool to be read. */
  readonly block: number;
  /** The next service entry. */
  readonly entry: number;
  /** The data's own time. */
  readonly timeMs: number;
}

interface Place extends ShelvedState {
  readonly offset: number;
  readonly length: number;
}

/** States of a pipeline along a recording, in a file: from the nearest before it any instant is soon reached. */
export class StateShelf {
  private readonly file: number;
  private readonly places: Place[] = [];
  private offset = 0;

  constructor(private readonly path: string) {
    this.file = openSync(path, 'w+');
  }

  put(state: ShelvedState, saved: PipelineSaved): void {
    const bytes = Buffer.from(JSON.stringify(saved));
    try {
      writeSync(this.file, bytes, 0, bytes.length, this.offset);
    } catch (error) {
      throw new TakelineFault('bench-disk', `The bench cannot keep its place (${sayWhy(error)}: ${this.path}); make room.`);
    }
    this.places.push({ ...state, offset: this.offset, length: bytes.length });
    this.offset += bytes.length;
  }

  /** The latest state from before a time; undefined where the beginning is nearer. */
  before(timeMs: number): (ShelvedState & { readonly saved: () => PipelineSaved }) | undefined {
    const place = this.places.findLast((one) => one.timeMs < timeMs);
    return place && { ...place, saved: () => this.load(place) };
  }

  close(): void {
    closeSync(this.file);
  }

  private load({ offset, length }: Place): PipelineSaved {
    const bytes = Buffer.alloc(length);
    readSync(this.file, bytes, 0, length, offset);
    return JSON.parse(bytes.toString('utf8')) as PipelineSaved;
  }
}
