import type { Conveyor, Takeup } from '../../../agent/site/site.js';

/** Where an entry is written down: as much of the site as the form asks about. */
export interface Place {
  readonly conveyor: Pick<Conveyor, 'id'> & { readonly chain: Pick<Conveyor['chain'], 'repeatPitches'> };
  readonly takeup: Pick<Takeup, 'id' | 'spring' | 'nutLeadMm'>;
}
