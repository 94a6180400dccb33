import { conveyorLines, setPointLines, takeupLines, type Reader, type ReadLine } from '../logic/as-read.js';
import { WholeDates } from '../parts/whole-dates.js';
import { site, units } from '../state/session.js';
import { useChosenConveyor } from './set-up-conveyor.js';

/** The site as the program has read it: every default filled in, what follows worked out. */
export function SiteAsRead() {
  const { chosen, choice } = useChosenConveyor();
  const { value } = site;
  if (value === undefined || chosen === undefined) return choice;
  const reader: Reader = { system: units.value, timezone: value.timezone };
  return (
    <>
      <div class="tools">{choice}</div>
      <section class="card" aria-label={chosen.name}>
        <h2>{chosen.name}</h2>
        <Lines lines={conveyorLines(chosen, reader)} />
      </section>
      {chosen.takeups.map((takeup) => (
        <section key={takeup.id} class="card" aria-label={`Take-up ${takeup.id}`}>
          <h2>Take-up {takeup.id}</h2>
          <Lines lines={takeupLines(takeup, reader)} />
          <h3>Alarms come at</h3>
          <Lines lines={setPointLines(takeup, value.alarms, reader)} />
        </section>
      ))}
    </>
  );
}

function Lines({ lines }: { readonly lines: readonly ReadLine[] }) {
  return (
    <dl class="as-read">
      {lines.map(([name, text]) => (
        <div class="figure-line" key={name}>
          <dt>{name}</dt>
          <dd>
            <WholeDates text={text} />
          </dd>
        </div>
      ))}
    </dl>
  );
}
