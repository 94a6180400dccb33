import { useState } from 'preact/hooks';
import type { SignalNow } from '../../../agent/contract/messages.js';
import type { Signal } from '../../../agent/site/site.js';
import { fahrenheitToCelsius, mmToInches } from '../../../agent/units/convert.js';
import { unitOf } from '../../../agent/units/display.js';
import { calibrate, scaled, scaleYaml, type CalibrationPoint } from '../logic/calibration.js';
import { typedNumber } from '../logic/typed-number.js';
import { Cautions } from '../parts/cautions.js';
import { nowMs } from '../state/live.js';
import { may, units, wordsOf } from '../state/session.js';
import { newRequest, recordEntry } from '../state/work.js';

/** Two readings at two places that were measured give the scale; what changes is written in the site file, and down in the service log. */
export function Calibration({ signal, now }: { readonly signal: Signal; readonly now: SignalNow | undefined }) {
  const [points, setPoints] = useState<readonly [CalibrationPoint | undefined, CalibrationPoint | undefined]>([undefined, undefined]);
  const isLength = signal.quantity !== 'temperature';
  const outcome = points[0] === undefined || points[1] === undefined ? undefined : calibrate(points[0], points[1]);
  // What was read before a signal fell silent is of another place.
  const raw = now?.raw === null || now?.state === 'lost' ? undefined : now?.raw;
  const take = (place: 0 | 1, is: number): void => {
    if (raw === undefined || Number.isNaN(is)) return;
    const point = { raw, is };
    setPoints(place === 0 ? [point, points[1]] : [points[0], point]);
  };
  return (
    <section class="card calibration" aria-label={`Calibration of ${signal.name}`}>
      <h2>Two-point calibration of {signal.name}</h2>
      <p>
        {isLength
          ? 'Bring the carriage to a place that you have measured from the inner stop, type where it is, and take the reading; then do the same at another place, as far off as it goes.'
          : 'Bring the sensor to a temperature that you have measured, type it, and take the reading; then do the same at another temperature, as far off as it goes.'}
      </p>
      <Cautions />
      {([0, 1] as const).map((place) => (
        <Point key={place} place={place} point={points[place]} raw={raw} isLength={isLength} onTake={(is) => take(place, is)} />
      ))}
      {outcome === undefined ? null : outcome.ok ? (
        <>
          <p>Put this under the signal in the site file, in the place of a scale that stands there:</p>
          <pre class="yaml" tabIndex={0}>
            {scaleYaml(outcome.scale)}
          </pre>
          {may('change-site') ? (
            <p>
              <a href="#/set-up/site-file">Open the site file</a>
            </p>
          ) : (
            <p>Engineers change the site file: hand it on.</p>
          )}
          {signal.quantity === 'position' && raw !== undefined ? <Rezeroed signal={signal} readsMm={scaled(outcome.scale, raw)} /> : null}
        </>
      ) : (
        <p class="problem" role="alert">
          {outcome.why}
        </p>
      )}
    </section>
  );
}

interface PointProps {
  readonly place: 0 | 1;
  readonly point: CalibrationPoint | undefined;
  readonly raw: number | undefined;
  readonly isLength: boolean;
  readonly onTake: (is: number) => void;
}

function Point({ place, point, raw, isLength, onTake }: PointProps) {
  const [typed, setTyped] = useState('');
  const system = units.value;
  const unit = unitOf(isLength ? 'travel' : 'temperature', system);
  const value = numberTyped(typed, isLength ? 'travel' : 'number');
  const is = isLength || system === 'metric' ? value : fahrenheitToCelsius(value);
  return (
    <div class="calibration-point">
      <label class="field">
        <span>
          {place === 0 ? 'First' : 'Second'} {isLength ? 'place' : 'temperature'}, {unit}
        </span>
        <input type="text" inputMode="decimal" value={typed} onInput={({ currentTarget }) => setTyped(currentTarget.value)} />
      </label>
      <button type="button" disabled={raw === undefined || Number.isNaN(value)} onClick={() => onTake(is)}>
        Take the reading
      </button>
      <span role="status">
        {point === undefined
          ? `reads ${raw === undefined ? 'nothing' : String(Number(raw.toFixed(4)))} now`
          : `taken: raw ${String(point.raw)}`}
      </span>
    </div>
  );
}

/** What is typed, in mm where it is a length; NaN where it is no number. */
function numberTyped(typed: string, kind: 'travel' | 'number'): number {
  const number = typedNumber(typed, kind, units.value);
  return 'value' in number ? number.value : NaN;
}

interface RezeroedProps {
  readonly signal: Signal;
  /** What it will read where the carriage stands, by the new scale. */
  readonly readsMm: number;
}

/** A sensor that reads another number at the same place must be said, or the move is taken for the carriage's. */
function Rezeroed({ signal, readsMm }: RezeroedProps) {
  const [own, setOwn] = useState<string>();
  const typed =
    own ?? String(Number((units.value === 'imperial' ? mmToInches(readsMm) : readsMm).toFixed(units.value === 'imperial' ? 3 : 1)));
  const [words, setWords] = useState({ good: false, text: '' });
  const [request] = useState(newRequest);
  const [conveyor = '', takeup = '', side = ''] = signal.name.split('/');
  if (!may('record-work')) return null;
  const positionMm = numberTyped(typed, 'travel');
  const write = async (): Promise<void> => {
    try {
      const entry = {
        time: new Date(nowMs.peek()).toISOString(),
        conveyor,
        takeup,
        side,
        kind: 'sensor-rezeroed',
        position_mm: Number(positionMm.toFixed(3)),
      };
      await recordEntry({ request, entry }, conveyor);
      setWords({ good: true, text: 'Written down in the service log: now put the new scale in force, within a day.' });
    } catch (error) {
      setWords({ good: false, text: wordsOf(error) });
    }
  };
  return (
    <div class="calibration-point">
      <label class="field">
        <span>
          With the new scale the {side} side reads, carriage unmoved, {unitOf('travel', units.value)}
        </span>
        <input type="text" inputMode="decimal" value={typed} onInput={({ currentTarget }) => setOwn(currentTarget.value)} />
      </label>
      <button type="button" disabled={Number.isNaN(positionMm) || words.good} onClick={() => void write()}>
        Write it down
      </button>
      <span class={words.good ? 'done' : 'problem'} role="status">
        {words.text}
      </span>
    </div>
  );
}
