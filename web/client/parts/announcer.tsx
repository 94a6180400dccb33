import { news } from '../state/live.js';

/** Speaks alarm changes, and nothing else, to those who listen to the screen. */
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
      </div>
    </>
  );
}
