import { useState } from 'preact/hooks';
import { localTime } from '../../../agent/units/local-time.js';
import type { CloseServiceRequest, OpenServiceAnswer } from '../../server/logic/work-answers.js';
import { takeupHref } from '../logic/route.js';
import { cardHref } from '../logic/work-route.js';
import { NoAnswer } from '../parts/no-answer.js';
import { useKeptFocus } from '../parts/use-kept-focus.js';
import { ask } from '../state/api.js';
import { placeWords } from '../state/places.js';
import { say } from '../state/said.js';
import { may, site } from '../state/session.js';
import { useAnswer } from '../state/use-answer.js';
import { useDoing } from '../state/use-doing.js';
import { anyWorkTold, newRequest, tellWork } from '../state/work.js';

/** Take-ups on which a service is open: their alarms rest, so nobody should forget to close it. */
export function WorkServices() {
  const answer = useAnswer(() => ask<readonly OpenServiceAnswer[]>('GET', '/api/services/open'), [anyWorkTold.value]);
  const section = useKeptFocus<HTMLElement>();
  return (
    <section ref={section}>
      <h2>Services open</h2>
      {answer.state === 'loading' ? <p class="quiet-words">Asking …</p> : null}
      {answer.state === 'failed' ? <NoAnswer failed={answer} what="services open" /> : null}
      {answer.state === 'here' && answer.value.length === 0 ? <p class="quiet-words">None is open.</p> : null}
      <ul class="work-list">
        {answer.state === 'here' ? answer.value.map((service) => <Service key={service.id} service={service} />) : null}
      </ul>
    </section>
  );
}

function Service({ service }: { readonly service: OpenServiceAnswer }) {
  const { conveyor, takeup, since, by, card } = service;
  const [request] = useState(newRequest);
  const { busy, problem, run } = useDoing();
  const { date, minutes } = localTime(Date.parse(since), site.value?.timezone ?? 'UTC');
  const close = async (): Promise<void> => {
    const body: CloseServiceRequest = { request, conveyor, takeup };
    if (await run(() => ask('POST', '/api/services/close', body))) say(`Service closed: ${placeWords(service)}.`);
    tellWork(conveyor);
  };
  return (
    <li class="work-item">
      <h3>
        <a href={takeupHref(conveyor, takeup)}>{placeWords(service)}</a>
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
      {card === undefined ? null : (
        <a class="button" href={cardHref(String(card))}>
          Card {card} closes it
        </a>
      )}
      {card === undefined && may('record-work') ? (
        <button type="button" aria-disabled={busy} aria-label={`Close the service on ${placeWords(service)}`} onClick={() => void close()}>
          Close the service
        </button>
      ) : null}
    </li>
  );
}
