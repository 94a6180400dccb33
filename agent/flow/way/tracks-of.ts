import { conveyorSignals, type Conveyor, type Signal } from '../../site/site.js';
import type { FilterSettings } from '../position/position-filter.js';
import type { Sampler } from '../sample/sampler.js';
import { SideTrack, TakeupTrack, type TakeupTrackSaved } from '../takeup/takeup-track.js';

/** The take-ups of a conveyor, each side fed by its samplers. @param samplers - in the order of `conveyorSignals` */
export function tracksOf(
  conveyor: Conveyor,
  samplers: readonly Sampler[],
  filter: FilterSettings,
  saved: readonly TakeupTrackSaved[] | undefined,
): TakeupTrack[] {
  const signals = conveyorSignals(conveyor);
  const samplerOf = (signal: Signal): Sampler => samplers[signals.indexOf(signal)] as Sampler;
  return conveyor.takeups.map((takeup, index) => {
    const past = saved?.[index];
    const [left, right] = (['left', 'right'] as const).map((name, at) => {
      const side = takeup.sides[name];
      const setting = { set: side.set, spring: takeup.spring };
      const spring = side.spring && samplerOf(side.spring);
      return new SideTrack(side, samplerOf(side.position), spring, setting, filter, past?.sides[at]);
    }) as [SideTrack, SideTrack];
    return new TakeupTrack(takeup, left, right, past);
  });
}
