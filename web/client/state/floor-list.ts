import { computed } from '@preact/signals';
import type { StandingEntry } from '../../server/logic/live-messages.js';
import { compareNeed, type Needy } from '../logic/floor-order.js';
import { takeupKey } from '../logic/takeup-key.js';
import { earlyDate, standing } from './live.js';
import { allPlaces, type Place } from './places.js';

/** A take-up with what its place in the order rests on. */
export interface Listed extends Needy, Place {
  readonly alarms: readonly StandingEntry[];
}

/** Every take-up with what its place in the order rests on; changes with alarms and dates, not with each reading. */
export const listed = computed<readonly Listed[]>(() =>
  allPlaces()
    .map(({ conveyor, takeup }) => ({
      key: takeupKey(conveyor.id, takeup.id),
      conveyor,
      takeup,
      alarms: standing.value.filter((alarm) => alarm.conveyor === conveyor.id && alarm.takeup === takeup.id),
      early: earlyDate(conveyor.id, takeup.id).value,
    }))
    .toSorted(compareNeed),
);
