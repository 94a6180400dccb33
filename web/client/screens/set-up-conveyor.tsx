import { useState } from 'preact/hooks';
import type { ComponentChildren } from 'preact';
import type { ConveyorAnswer } from '../../server/logic/site-answer.js';
import { site } from '../state/session.js';

/** A conveyor to choose, and the one that is chosen: the first, until somebody chooses; undefined where the site has none. */
export function useChosenConveyor(): { readonly chosen: ConveyorAnswer | undefined; readonly choice: ComponentChildren } {
  const conveyors = site.value?.conveyors ?? [];
  const [id, setId] = useState(conveyors[0]?.id ?? '');
  // Another site file may be in force meanwhile, without the one that was chosen.
  const chosen = conveyors.find((one) => one.id === id) ?? conveyors[0];
  const choice =
    chosen === undefined ? (
      <p class="quiet-words">The site has no conveyors: name them and their take-ups in the site file.</p>
    ) : (
      <label class="field">
        <span>Conveyor</span>
        <select value={chosen.id} onChange={({ currentTarget }) => setId(currentTarget.value)}>
          {conveyors.map((one) => (
            <option key={one.id} value={one.id}>
              {one.name}
            </option>
          ))}
        </select>
      </label>
    );
  return { chosen, choice };
}
