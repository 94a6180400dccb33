import { useRef, useState } from 'preact/hooks';
import { asideChoices, hasOwnSensors, type AsideChoice, type AsidePlace } from '../logic/aside-choices.js';
import { findPlace } from '../state/places.js';
import { may, site } from '../state/session.js';
import { SetAside, type AsideKind } from './alarm-set-aside.js';

const KINDS: readonly { readonly kind: AsideKind; readonly words: string }[] = [
  { kind: 'shelve', words: 'Shelve' },
  { kind: 'out-of-service', words: 'Take out of service' },
];

/** Sets any alarm aside, also one that does not stand: before a sensor is changed, or a line is rebuilt. */
export function SetAnyAside({ place }: { /** Fixed, where the screen is about one take-up. */ readonly place?: AsidePlace }) {
  const [open, setOpen] = useState(false);
  const summary = useRef<HTMLElement>(null);
  if (!may('shelve-alarm')) return null;
  const close = (): void => {
    setOpen(false);
    summary.current?.focus();
  };
  return (
    <details class="set-any-aside" open={open} onToggle={({ currentTarget }) => setOpen(currentTarget.open)}>
      <summary ref={summary}>Set an alarm aside before it rises</summary>
      {open ? <Choose fixed={place} onClose={close} /> : null}
    </details>
  );
}

function Choose({ fixed, onClose }: { readonly fixed: AsidePlace | undefined; readonly onClose: () => void }) {
  const places = fixed === undefined ? allAsidePlaces() : [{ place: fixed, words: '' }];
  const [nth, setNth] = useState(0);
  const [chosen, setChosen] = useState('');
  const [kind, setKind] = useState<AsideKind>('shelve');
  const place = places[nth]?.place;
  const choices = place === undefined ? [] : choicesOf(place);
  const choice = choices.find((one) => valueOf(one) === chosen);
  return (
    <div class="choose-aside">
      {fixed === undefined ? (
        <label>
          Where
          <select
            value={nth}
            onChange={({ currentTarget }) => {
              setNth(Number(currentTarget.value));
              setChosen('');
            }}
          >
            {places.map(({ words }, index) => (
              <option key={words} value={index}>
                {words}
              </option>
            ))}
          </select>
        </label>
      ) : null}
      <label>
        Which alarm
        <select value={chosen} onChange={({ currentTarget }) => setChosen(currentTarget.value)}>
          <option value="">Choose …</option>
          {choices.map((one) => (
            <option key={valueOf(one)} value={valueOf(one)}>
              {one.words}
            </option>
          ))}
        </select>
      </label>
      {may('take-alarm-out-of-service') ? (
        <fieldset class="kinds">
          <legend class="unseen">How</legend>
          {KINDS.map((one) => (
            <label key={one.kind}>
              <input type="radio" name="aside-kind" checked={kind === one.kind} onChange={() => setKind(one.kind)} />
              {one.words}
            </label>
          ))}
        </fieldset>
      ) : null}
      {place === undefined || choice === undefined ? null : (
        <SetAside key={`${nth} ${chosen}`} kind={kind} alarm={requestOf(place, choice)} onClose={onClose} focused={false} />
      )}
    </div>
  );
}

function valueOf({ alarm, signal }: AsideChoice): string {
  return `${alarm} ${signal ?? ''}`;
}

function requestOf(place: AsidePlace, { alarm, signal }: AsideChoice) {
  return { ...place, alarm, ...(signal === undefined ? {} : { signal }) };
}

function choicesOf({ conveyor: id, takeup }: AsidePlace): readonly AsideChoice[] {
  const conveyor = site.value?.conveyors.find((one) => one.id === id);
  if (conveyor === undefined) return [];
  return asideChoices(conveyor, takeup === undefined ? undefined : findPlace(id, takeup)?.takeup, site.value?.alarms ?? []);
}

/** Every take-up, and of each conveyor the sensors that belong to none. */
function allAsidePlaces(): readonly { readonly place: AsidePlace; readonly words: string }[] {
  return (site.value?.conveyors ?? []).flatMap((conveyor) => [
    ...conveyor.takeups.map(({ id }) => ({ place: { conveyor: conveyor.id, takeup: id }, words: `${conveyor.name}, ${id}` })),
    ...(hasOwnSensors(conveyor) ? [{ place: { conveyor: conveyor.id }, words: `${conveyor.name}, its own sensors` }] : []),
  ]);
}
