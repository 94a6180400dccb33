import type { Side, Takeup } from '../../site/site.js';
import { toSaved, fromSaved, type SavedNumber } from '../../units/saved.js';
import type { UnknownReason } from '../../units/unknown.js';
import { Extent, PositionFilter, type FilterSettings, type PositionFilterSaved } from '../position/position-filter.js';
import type { Sampler } from '../sample/sampler.js';
import { strandTensionN } from './geometry.js';
import { followedSpringMm, sideForceN, type SideSetting } from './spring-state.js';

/** One side of a carriage as it moves: its filtered position, and its spring, measured or followed. */
export class SideTrack {
  readonly position: PositionFilter;
  readonly springFilter: PositionFilter | undefined;

  /**
   * Position, smoothed position, spring and smoothed spring length as of the last `refresh`. The alarms look at them for every reading:
   * numbers in a typed array are passed on without being boxed.
   */
  readonly cells = new Float64Array(4);
  /** How long a spring that is followed from the carriage would be at position 0. */
  private springAtZeroMm: number;

  constructor(
    readonly side: Side,
    readonly positionSampler: Sampler,
    readonly springSampler: Sampler | undefined,
    public setting: SideSetting,
    settings: FilterSettings,
    saved?: SideTrackSaved,
  ) {
    this.position = new PositionFilter(side.position, settings, saved?.position);
    this.springAtZeroMm = setting.set.springMm - setting.set.positionMm;
    this.springFilter = side.spring && new PositionFilter(side.spring, settings, saved?.spring ?? undefined);
    this.refresh();
  }

  /** The nut or the spring was changed: what is followed from the carriage follows anew. */
  change(setting: SideSetting): void {
    this.setting = setting;
    this.springAtZeroMm = setting.set.springMm - setting.set.positionMm;
    this.refresh();
  }

  /** Works the cells out after a reading, or after something became unknown. */
  refresh(): void {
    const { cells, position, springFilter, springSampler } = this;
    const known = this.positionSampler.known;
    cells[0] = known ? position.spikeFree : NaN;
    cells[1] = known ? position.smoothed : NaN;
    if (springSampler === undefined || springFilter === undefined) {
      // followedSpringMm, written out: it is asked for every reading of every sensor.
      cells[2] = this.springAtZeroMm + cells[0];
      cells[3] = this.springAtZeroMm + cells[1];
    } else {
      cells[2] = springSampler.known ? springFilter.spikeFree : NaN;
      cells[3] = springSampler.known ? springFilter.smoothed : NaN;
    }
  }

  /** The shortest that the spring gets, and the longest that it gets smoothed, through what is judged and not taken yet. NaN: not known. */
  get shortestSpringMm(): number {
    const { springFilter, position } = this;
    if (springFilter !== undefined) return springFilter.extent[Extent.least] as number;
    return this.springAtZeroMm + (position.extent[Extent.least] as number);
  }

  get longestSpringMm(): number {
    const { springFilter, position } = this;
    if (springFilter !== undefined) return springFilter.extent[Extent.smoothMost] as number;
    return this.springAtZeroMm + (position.extent[Extent.smoothMost] as number);
  }

  get known(): boolean {
    return this.positionSampler.known && !Number.isNaN(this.position.spikeFree);
  }

  /** Spike-free, unsmoothed position; NaN while it is not known. */
  get xMm(): number {
    return this.positionSampler.known ? this.position.spikeFree : NaN;
  }

  get smoothedMm(): number {
    return this.positionSampler.known ? this.position.smoothed : NaN;
  }

  /** Spike-free, unsmoothed length of the spring: a surge of two seconds matters to a spring. */
  get springMm(): number {
    if (this.springSampler !== undefined) return this.springSampler.known ? (this.springFilter?.spikeFree ?? NaN) : NaN;
    return followedSpringMm(this.setting.set, this.xMm);
  }

  get smoothedSpringMm(): number {
    if (this.springSampler !== undefined) return this.springSampler.known ? (this.springFilter?.smoothed ?? NaN) : NaN;
    return followedSpringMm(this.setting.set, this.smoothedMm);
  }

  get forceN(): number {
    const springMm = this.smoothedSpringMm;
    // Math.max would turn an unknown length into no force.
    return Number.isNaN(springMm) ? NaN : sideForceN(this.setting.spring, springMm);
  }

  get whyPositionUnknown(): UnknownReason {
    return this.positionSampler.whyUnknown ?? 'never-read';
  }

  get whySpringUnknown(): UnknownReason {
    return this.springSampler ? (this.springSampler.whyUnknown ?? 'never-read') : this.whyPositionUnknown;
  }

  save(): SideTrackSaved {
    return { position: this.position.save(), spring: this.springFilter?.save() ?? null };
  }
}

export interface SideTrackSaved {
  readonly position: PositionFilterSaved;
  readonly spring: PositionFilterSaved | null;
}

export interface TakeupTrackSaved {
  readonly sides: readonly [SideTrackSaved, SideTrackSaved];
  readonly timeMs: SavedNumber;
  readonly second: SavedNumber;
  readonly stillNoiseMm: SavedNumber;
}

/** One take-up as it moves: both sides, and what follows from them together (mechanics §5 step 4). */
export class TakeupTrack {
  /** Time of the last judged reading of either side. */
  timeMs: number;
  /** The whole second of the last reading, which is sampled for windows and jumps when it is over; NaN once it was. */
  second: number;
  /** Noise of the mean of both sensors at its quietest while the conveyor stood, spread in mm: noise alone, without the chain. */
  stillNoiseMm: number;

  constructor(
    readonly takeup: Takeup,
    readonly left: SideTrack,
    readonly right: SideTrack,
    saved?: TakeupTrackSaved,
  ) {
    this.timeMs = fromSaved(saved?.timeMs);
    this.second = fromSaved(saved?.second);
    this.stillNoiseMm = fromSaved(saved?.stillNoiseMm);
  }

  /** The conveyor stands, and has for a while: what the sensors show now is noise. */
  hearStill(): void {
    const noise = Math.sqrt(this.left.position.noiseSpread ** 2 + this.right.position.noiseSpread ** 2) / 2;
    if (!(noise >= this.stillNoiseMm)) this.stillNoiseMm = noise;
  }

  /** Mean of the spike-free sides. */
  get xMm(): number {
    return (this.left.xMm + this.right.xMm) / 2;
  }

  get smoothedMm(): number {
    return (this.left.smoothedMm + this.right.smoothedMm) / 2;
  }

  get skewMm(): number {
    return this.left.smoothedMm - this.right.smoothedMm;
  }

  get carriageForceN(): number {
    return this.left.forceN + this.right.forceN;
  }

  get strandTensionN(): number {
    return strandTensionN(this.carriageForceN, this.takeup.gain, this.takeup.turnFriction);
  }

  /** Least margin to coils touching of the two springs, by their smoothed lengths. */
  get marginToSolidMm(): number {
    const margin = ({ smoothedSpringMm, setting }: SideTrack): number => smoothedSpringMm - setting.spring.solidMm;
    return Math.min(margin(this.left), margin(this.right));
  }

  save(): TakeupTrackSaved {
    return {
      sides: [this.left.save(), this.right.save()],
      timeMs: toSaved(this.timeMs),
      second: toSaved(this.second),
      stillNoiseMm: toSaved(this.stillNoiseMm),
    };
  }
}
