import { useState } from 'preact/hooks';
import { takeupKey } from '../logic/takeup-key.js';
import { allPlaces } from '../state/places.js';
import { CarriageSays } from './carriage-says.js';
import { EntryForm } from './entry-form.js';
import { SiteLog } from './service-log-list.js';
import { may } from '../state/session.js';

const SHOWN = 50;

/** The service log of the whole site: what was done, what the carriages say was done, and the form to write down more. */
export function ServiceLogScreen() {
  return (
    <article class="page service-log-page">
      <header class="page-head">
        <h1>Service log</h1>
      </header>
      <OneTakeup />
      <section aria-label="Entries">
        <h2>Entries</h2>
        <SiteLog most={SHOWN} />
      </section>
    </article>
  );
}

/** The take-up is chosen first: what can be written down, and what its carriage says, follow from it. */
function OneTakeup() {
  const places = allPlaces();
  const [chosen, choose] = useState('');
  const place = places.find(({ conveyor, takeup }) => takeupKey(conveyor.id, takeup.id) === chosen);
  return (
    <section class="one-takeup">
      <h2>{may('record-work') ? 'Write down work, or judge what a carriage says' : 'What a carriage says'}</h2>
      <div class="log-filters">
        <label>
          Take-up
          <select value={chosen} onChange={(event) => choose(event.currentTarget.value)}>
            <option value="">choose</option>
            {places.map(({ conveyor, takeup }) => (
              <option key={takeupKey(conveyor.id, takeup.id)} value={takeupKey(conveyor.id, takeup.id)}>
                {conveyor.name}, {takeup.id}: {takeup.location}
              </option>
            ))}
          </select>
        </label>
      </div>
      {place === undefined ? null : (
        <>
          <CarriageSays key={`says ${chosen}`} conveyor={place.conveyor} takeup={place.takeup} />
          {may('record-work') ? <EntryForm key={`form ${chosen}`} conveyor={place.conveyor} takeup={place.takeup} /> : null}
        </>
      )}
    </section>
  );
}
