import { dateOfDayNumber, dayNumberOf } from '../../../agent/units/local-day.js';
import { localTime } from '../../../agent/units/local-time.js';
import { showText } from '../../../agent/units/display.js';
import { nowMs, trouble } from '../state/live.js';
import { site, units } from '../state/session.js';
import { ReportTakeup } from './report-takeup.js';

/** The condition of a conveyor's chain and take-ups, on screen and on paper: what an engineer files and a shift hands over. */
export function ReportScreen({ conveyor: id }: { readonly conveyor: string }) {
  const conveyor = site.value?.conveyors.find((one) => one.id === id);
  if (conveyor === undefined) {
    return (
      <section class="page">
        <h1>There is no such conveyor</h1>
        <p>
          The site file has no conveyor “{id}”. Go to the <a href="#/work">work</a>.
        </p>
      </section>
    );
  }
  const { date, minutes } = localTime(nowMs.value, site.value?.timezone ?? 'UTC');
  const { chain, carriers } = conveyor;
  const mm = (value: number): string => showText('travel', value, units.value);
  return (
    <article class="page report">
      <header class="page-head">
        <h1>
          Condition of {conveyor.name}
          <span class="where"> {site.value?.name}</span>
        </h1>
        <p class="since">
          {date} {minutes}, site’s clock
        </p>
        <button type="button" class="no-print" onClick={() => print()}>
          Print
        </button>
      </header>
      <AsLastHeard />
      <p class="report-chain">
        Chain of {chain.pitches} pitches of {mm(chain.pitchMm)} at its reference, to be shortened by multiples of {chain.repeatPitches};
        wear limit {showText('elongation', chain.wearLimitPct, units.value)}
        {carriers === undefined ? '' : `; carriers every ${mm(carriers.spacingMm)}, ${mm(carriers.minSpacingMm)} at least`}.
      </p>
      {conveyor.takeups.map((takeup) => (
        <ReportTakeup key={takeup.id} conveyor={conveyor} takeup={takeup} since={dateOfDayNumber(dayNumberOf(date) - RECENT_DAYS)} />
      ))}
      <p class="report-foot">
        Takeline is not a safety device and stops nothing. Estimates are given with their range; what is not known is said to be unknown. A
        qualified person decides.
      </p>
    </article>
  );
}

/** The banner is not printed: a sheet of paper says by itself that it shows what was, not what is. */
function AsLastHeard() {
  const { value } = trouble;
  if (value === undefined) return null;
  const { date, minutes } = localTime(value.sinceMs, site.value?.timezone ?? 'UTC');
  return (
    <p class="report-stale">
      <strong>As last heard, not as it is now.</strong> {value.headline} since {date} {minutes}.
    </p>
  );
}

/** Alarms and findings older than this are history: the screens have them. */
const RECENT_DAYS = 90;
