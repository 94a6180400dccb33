import { localTime } from '../../../agent/units/local-time.js';
import { trouble } from '../state/live.js';
import { site } from '../state/session.js';

/** Says, above everything else, that what is shown may no longer be so, and since when. */
export function Banner() {
  const { value } = trouble;
  if (value === undefined) return null;
  return (
    <div class="banner" role="alert" data-trouble={value.where}>
      <svg viewBox="0 0 24 24" aria-hidden="true">
        <path d="M2 7h7M15 17h7M5 21 19 3" />
      </svg>
      <p>
        <strong>{value.headline}</strong> since {localTime(value.sinceMs, site.value?.timezone ?? 'UTC').seconds}. {value.detail}
      </p>
    </div>
  );
}
