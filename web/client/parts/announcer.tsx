import { news } from '../state/live.js';
import { said } from '../state/said.js';

/** Speaks alarm changes and what came of what a person did, and nothing else, to those who listen to the screen. */
export function Announcer() {
  const pressing = news.value.filter((one) => one.pressing);
  const other = news.value.filter((one) => !one.pressing);
  return (
    <>
      <div class="unseen" aria-live="assertive">
        {pressing.map(({ text }) => text).join(' ')}
      </div>
      <div class="unseen" aria-live="polite">
        {other.map(({ text }) => text).join(' ')}
        {/* Another element each time: the same words twice are read out twice. */}
        {said.value.text === '' ? null : <span key={said.value.nth}>{said.value.text}</span>}
      </div>
    </>
  );
}
