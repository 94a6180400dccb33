import type { StandingEntry } from '../../server/logic/live-messages.js';
import type { ConveyorAnswer, TakeupAnswer } from '../../server/logic/site-answer.js';
import { site } from './session.js';

/** A take-up and the conveyor it belongs to. */
export interface Place {
  readonly conveyor: ConveyorAnswer;
  readonly takeup: TakeupAnswer;
}

/** Every take-up of the site, in the order of the site file. */
export function allPlaces(): readonly Place[] {
  return (site.value?.conveyors ?? []).flatMap((conveyor) => conveyor.takeups.map((takeup) => ({ conveyor, takeup })));
}

export function findPlace(conveyor: string, takeup: string): Place | undefined {
  return allPlaces().find((place) => place.conveyor.id === conveyor && place.takeup.id === takeup);
}

/** Where an alarm stands, as people call it. */
export function placeWords({ conveyor, takeup, signal }: Pick<StandingEntry, 'conveyor' | 'takeup' | 'signal'>): string {
  if (conveyor === undefined) return site.value?.name ?? '';
  const name = site.value?.conveyors.find(({ id }) => id === conveyor)?.name ?? conveyor;
  const part = takeup ?? signal?.replace(`${conveyor}/`, '').replaceAll('/', ' ');
  return part === undefined ? name : `${name}, ${part}`;
}

/** Where an entry belongs; one for a whole conveyor is asked about its first take-up, whose chain it is. */
export function placeOfEntry({ conveyor, takeup }: { readonly conveyor: string; readonly takeup?: string }): Place | undefined {
  const found = site.value?.conveyors.find(({ id }) => id === conveyor);
  const own = found?.takeups.find(({ id }) => id === takeup) ?? found?.takeups[0];
  return found === undefined || own === undefined ? undefined : { conveyor: found, takeup: own };
}
