import { may } from '../state/session.js';
import { PlanLoop } from './plan-loop.js';
import { useChosenConveyor } from './set-up-conveyor.js';

/** The tension around a loop as its path is set up. */
export function SetUpLoop() {
  const { chosen, choice } = useChosenConveyor();
  const [takeup] = chosen?.takeups ?? [];
  return (
    <>
      <div class="tools">{choice}</div>
      {chosen === undefined || takeup === undefined ? null : (
        <div class="card">
          <PlanLoop key={chosen.id} conveyor={chosen} takeup={takeup} asked={0} />
          <p class="hint">
            The path, its loads and its friction are written under <code>path</code> of the conveyor
            {may('change-site') ? (
              <>
                {' '}
                in the <a href="#/set-up/site-file">site file</a>
              </>
            ) : (
              ' in the site file'
            )}
            .
          </p>
        </div>
      )}
    </>
  );
}
