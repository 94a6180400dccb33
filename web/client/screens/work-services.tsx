import { useState } from 'preact/hooks';
import { formatTime } from '../../../agent/units/time.js';
import { localTime } from '../../../agent/units/local-time.js';
import { takeupHref } from '../logic/route.js';
import { nowMs, takeupNow } from '../state/live.js';
import { allPlaces, type Place } from '../state/places.js';
import { may, site, wordsOf } from '../state/session.js';
import { newRequest, recordEntry } from '../state/work.js';

/** Take-ups on which a service is open: their alarms rest, so nobody should forget to close it. */
export function WorkServices() {
  const open = allPlaces().flatMap((place) => {
    const service = takeupNow(place.conveyor.id, place.takeup.id).value?.service ?? null;
    return service === null ? [] : [{ place, service }];
  });
  return (
    <section>
      <h2>Services open</h2>
      {open.length === 0 ? <p class="quiet-words">None is open.</p> : null}
      <ul class="work-list">
        {open.map(({ place, service }) => (
          <Service key={`${place.conveyor.id}/${place.takeup.id}`} place={place} since={service.since} by={service.by} />
        ))}
      </ul>
    </section>
  );
}

function Service({ place, since, by }: { readonly place: Place; readonly since: string; readonly by: string | undefined }) {
  const { conveyor, takeup } = place;
  const [request] = useState(newRequest);
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState('');
  const { date, minutes } = localTime(Date.parse(since), site.value?.timezone ?? 'UTC');
  const close = async (): Promise<void> => {
    setBusy(true);
    setProblem('');
    try {
      const entry = { time: formatTime(nowMs.peek()), conveyor: conveyor.id, takeup: takeup.id, kind: 'service-closed' };
      await recordEntry({ request, entry }, conveyor.id);
    } catch (error) {
      setProblem(wordsOf(error));
    }
    setBusy(false);
  };
  return (
    <li class="work-item">
      <h3>
        <a href={takeupHref(conveyor.id, takeup.id)}>
          {conveyor.name} <b>{takeup.id}</b>
        </a>
        <span class="where">{takeup.location}</span>
      </h3>
      <div class="work-why">
        <p>
          Open since {date} {minutes}
          {by === undefined ? '' : ` by ${by}`}: its alarms rest.
        </p>
        <p class="problem" role="alert">
          {problem}
        </p>
      </div>
      {may('record-work') ? (
        <button
          type="button"
          disabled={busy}
          aria-label={`Close the service on ${conveyor.name} ${takeup.id}`}
          onClick={() => void close()}
        >
          Close the service
        </button>
      ) : null}
    </li>
  );
}
