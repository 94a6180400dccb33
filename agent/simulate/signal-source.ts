import type { Signal } from '../site/site.js';
import type { Delivery } from './delivery.js';
import { even, normal, streamOf } from './hash-noise.js';
import { RawScale } from './raw-scale.js';
import type { TransportScenario } from './scenario.js';
import type { Segment } from './segment.js';
import { NO_UPSET, type Upset } from './upset.js';

/** The true value of what a signal measures, in mm, °C or m/min. */
export type Measured = (segment: Segment, timeMs: number) => number;

export interface SourceSettings {
  readonly signal: Signal;
  /** The signal's place in the site. */
  readonly index: number;
  readonly periodMs: number;
  readonly jitterMs: number;
  /** Standard deviation of the noise, and the smallest step, in engineering units. */
  readonly noise: number;
  /** Whether there is no noise while the conveyor stands, as from a wheel that does not turn. */
  readonly quietStanding: boolean;
  readonly resolution: number;
  readonly spikeShare: number;
  readonly spikeHeight: number;
  readonly transport: TransportScenario;
}

/** A source's beat lies at most so much of a period, or so long, after the clock's. */
const LATEST_BEAT = 0.4;
const LATEST_BEAT_MS = 400;
/** Readings of one sensor never overtake one another on its own clock. */
const MOST_JITTER = 0.4;

const DAY_MS = 86_400_000;

/** One sensor: takes readings on its beat and sends them off. All chance in them follows from the seed and the beat's number. */
export class SignalSource {
  upset: Upset = NO_UPSET;
  readonly scale: RawScale;
  private readonly stream: number;
  private readonly beatMs: number;
  private readonly jitterMs: number;
  private beat: number;
  private nextMs: number;

  /** @param afterMs - readings up to and at this time have been taken */
  constructor(
    readonly settings: SourceSettings,
    private readonly measured: Measured,
    seed: number,
    afterMs: number,
  ) {
    const { signal, periodMs, jitterMs } = settings;
    this.scale = new RawScale(signal, settings.resolution);
    this.stream = streamOf(seed, signal.name);
    this.beatMs = even(this.stream ^ 6, 0) * Math.min(LATEST_BEAT * periodMs, LATEST_BEAT_MS);
    this.jitterMs = Math.min(jitterMs, MOST_JITTER * periodMs);
    this.beat = Math.floor(afterMs / periodMs) - 2;
    while (this.timeOf(this.beat) <= afterMs) this.beat++;
    this.nextMs = this.timeOf(this.beat);
  }

  private timeOf(beat: number): number {
    return Math.round(beat * this.settings.periodMs + this.beatMs + this.jitterMs * (2 * even(this.stream ^ 1, beat) - 1));
  }

  /** Takes the readings of a segment before a time. */
  read(segment: Segment, beforeMs: number, out: Delivery): void {
    while (this.nextMs < beforeMs) {
      const { beat, nextMs } = this;
      this.beat = beat + 1;
      this.nextMs = this.timeOf(beat + 1);
      if (!this.upset.lost) this.send(nextMs, beat, this.rawAt(segment, nextMs, beat), out);
    }
  }

  /** Sends a reading off its beat, as a change of state is told at once; a beat at the very same time has nothing to add. */
  tell(segment: Segment, timeMs: number, out: Delivery): void {
    if (this.nextMs === timeMs) this.nextMs = this.timeOf(++this.beat);
    if (!this.upset.lost) this.send(timeMs, Math.floor(timeMs / 1000), this.plainRaw(segment, timeMs), out);
  }

  /** What is really there, in engineering units. */
  trueValue(segment: Segment, timeMs: number): number {
    return this.measured(segment, timeMs);
  }

  /** By how much the sensor has drifted from what is really there. */
  driftAt(timeMs: number): number {
    const { driftPerDay, driftFromMs } = this.upset;
    return driftPerDay === 0 ? 0 : (driftPerDay * (timeMs - driftFromMs)) / DAY_MS;
  }

  /** What a sensor without noise would give. */
  plainRaw(segment: Segment, timeMs: number): number {
    return this.scale.toRaw(this.measured(segment, timeMs));
  }

  private rawAt(segment: Segment, timeMs: number, beat: number): number {
    const { upset, stream, settings } = this;
    if (upset.repeats !== undefined) return upset.repeats;
    if (upset.noNumberShare > 0 && even(stream ^ 5, beat) < upset.noNumberShare) return NaN;
    const trembles = segment.running || !settings.quietStanding;
    let value = this.measured(segment, timeMs) + (trembles ? settings.noise * upset.noiseTimes * normal(stream, beat) : 0);
    value += this.driftAt(timeMs);
    const spikeShare = settings.spikeShare + upset.spikeShare;
    if (spikeShare > 0) {
      const chance = even(stream ^ 4, beat);
      if (chance < spikeShare) {
        const height = chance < upset.spikeShare ? upset.spikeHeight : settings.spikeHeight;
        value += height * (even(stream ^ 3, beat) < 0.5 ? -1 : 1) * (0.5 + even(stream ^ 2, beat));
      }
    }
    return this.scale.toRaw(value);
  }

  private send(takenMs: number, beat: number, raw: number, out: Delivery): void {
    const { index, transport } = this.settings;
    const timeMs = takenMs + this.upset.clockMs;
    const { lostShare, doubledShare, lateShare, lateS } = transport;
    if (lostShare > 0 && even(this.stream ^ 7, beat) < lostShare) return;
    const late = lateShare > 0 && even(this.stream ^ 8, beat) < lateShare;
    const deliveredMs = takenMs + (late ? Math.round(1000 * lateS * even(this.stream ^ 9, beat)) : 0);
    out.add(deliveredMs, timeMs, index, raw);
    if (doubledShare > 0 && even(this.stream ^ 10, beat) < doubledShare) out.add(deliveredMs, timeMs, index, raw);
  }
}
