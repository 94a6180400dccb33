import type { Site } from '../../../agent/site/site.js';
import { formatTime } from '../../../agent/units/time.js';
import type { EntryAnswer, OpenServiceAnswer } from './work-answers.js';

/** The services that are open, the longest first: at each take-up the last opening or closing counts, also one for its whole conveyor. */
export function openServices(site: Pick<Site, 'conveyors'>, log: readonly EntryAnswer[]): readonly OpenServiceAnswer[] {
  const services = log
    .filter(({ entry, state }) => state !== 'withdrawn' && String(entry['kind']).startsWith('service-'))
    .toSorted((a, b) => b.timeMs - a.timeMs || rank(b) - rank(a) || b.takenMs - a.takenMs);
  return site.conveyors
    .flatMap(({ id, takeups }) =>
      takeups.flatMap((takeup): readonly OpenServiceAnswer[] => {
        const last = services.find((entry) => entry.conveyor === id && (entry.takeup ?? takeup.id) === takeup.id);
        if (last?.entry['kind'] !== 'service-opened') return [];
        const card = /^card-(\d+)-/u.exec(last.id)?.[1];
        return [
          {
            ...{ conveyor: id, takeup: takeup.id, id: last.id, since: formatTime(last.timeMs) },
            ...(last.by === undefined ? {} : { by: last.by }),
            ...(card === undefined ? {} : { card: Number(card) }),
          },
        ];
      }),
    )
    .toSorted((a, b) => a.since.localeCompare(b.since));
}

/** Of one time, a closing counts after an opening, as in the account. */
function rank({ entry }: EntryAnswer): number {
  return entry['kind'] === 'service-closed' ? 1 : 0;
}
