import type { Conveyor } from '../../site/site.js';
import { fromSaved, toSaved, type SavedNumber } from '../../units/saved.js';

interface ZoneHeat {
  readonly lengthMm: number;
  readonly referenceC: number;
  readonly lagMs: number;
  timeMs: number;
  airC: number;
  chainC: number;
  known: boolean;
}

export interface HeatTrackSaved {
  readonly zones: readonly {
    readonly timeMs: SavedNumber;
    readonly airC: SavedNumber;
    readonly chainC: SavedNumber;
    readonly known: boolean;
  }[];
}

/**
 * How warm the chain is: each zone's temperature, followed by the chain with a first-order lag, and the ambient of the rest.
 * `zoneHeat` is Σ length·(T − T_ref) over the zones in mm·°C, `ambientHeat` is T − T_ref of the rest in °C; NaN while a temperature
 * is unknown, 0 where none is configured.
 */
export class HeatTrack {
  private readonly zones: ZoneHeat[];
  private readonly ambient: ZoneHeat | undefined;
  /** Σ length·(T − T_ref): asked for every second, and changed by a reading now and then. */
  private zonesNow = 0;

  constructor(conveyor: Conveyor, saved?: HeatTrackSaved) {
    const configured = [
      ...conveyor.zones.map((zone) => ({ lengthMm: zone.lengthMm, referenceC: zone.referenceC, lagMs: zone.lagS * 1000 })),
      ...(conveyor.ambient ? [{ lengthMm: NaN, referenceC: conveyor.ambient.referenceC, lagMs: 0 }] : []),
    ];
    const all = configured.map((zone, index): ZoneHeat => {
      const past = saved?.zones[index];
      return {
        ...zone,
        timeMs: fromSaved(past?.timeMs),
        airC: fromSaved(past?.airC),
        chainC: fromSaved(past?.chainC),
        known: past?.known ?? false,
      };
    });
    this.ambient = conveyor.ambient ? all[all.length - 1] : undefined;
    this.zones = this.ambient ? all.slice(0, -1) : all;
    this.sumZones();
  }

  /** @param index - zone's index, or the number of zones for the ambient */
  read(index: number, timeMs: number, temperatureC: number): void {
    const zone = this.zoneAt(index);
    const stepMs = timeMs - zone.timeMs;
    // The chain has followed the last reading until now; what is read now begins to act now.
    zone.chainC =
      stepMs >= 0 && zone.lagMs > 0 ? zone.chainC + (1 - Math.exp(-stepMs / zone.lagMs)) * (zone.airC - zone.chainC) : temperatureC;
    zone.airC = temperatureC;
    zone.timeMs = timeMs;
    zone.known = true;
    this.sumZones();
  }

  /** The temperature is lost or at fault: unknown until it is read again. */
  lose(index: number): void {
    this.zoneAt(index).known = false;
    this.sumZones();
  }

  /** How warm the chain is in a zone that it follows late; NaN where it has the temperature that is measured. @param index - as of `read` */
  lateC(index: number): number {
    const { lagMs, chainC } = this.zoneAt(index);
    return lagMs > 0 ? chainC : NaN;
  }

  get zoneHeat(): number {
    return this.zonesNow;
  }

  private sumZones(): void {
    this.zonesNow = 0;
    for (const zone of this.zones) this.zonesNow += zone.known ? zone.lengthMm * (zone.chainC - zone.referenceC) : NaN;
  }

  get ambientHeat(): number {
    if (this.ambient === undefined) return 0;
    return this.ambient.known ? this.ambient.airC - this.ambient.referenceC : NaN;
  }

  private zoneAt(index: number): ZoneHeat {
    return (index === this.zones.length ? this.ambient : this.zones[index]) as ZoneHeat;
  }

  save(): HeatTrackSaved {
    const all = this.ambient ? [...this.zones, this.ambient] : this.zones;
    return {
      zones: all.map(({ timeMs, airC, chainC, known }) => ({
        timeMs: toSaved(timeMs),
        airC: toSaved(airC),
        chainC: toSaved(chainC),
        known,
      })),
    };
  }
}
