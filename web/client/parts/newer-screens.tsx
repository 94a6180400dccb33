import { newerScreens } from '../state/newer-screens.js';

/** Says that this page is of an earlier version. Nobody's typing is thrown away: the person chooses when. */
export function NewerScreens() {
  if (!newerScreens.value) return null;
  return (
    <div class="newer no-print" role="status">
      <p>
        <strong>Takeline was brought up to date.</strong> This page is of the version before. Finish what you are typing, then load it anew.
      </p>
      <button type="button" onClick={() => location.reload()}>
        Load the page anew
      </button>
    </div>
  );
}
