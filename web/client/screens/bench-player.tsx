import { useEffect, useRef, useState } from 'preact/hooks';
import type { BenchMoment, BenchResult } from '../../../agent/contract/bench.js';
import { following, nextEvent, played, SPEEDS, speedWords, stepped, zoomed, type Stretch } from '../logic/bench-play.js';
import { timeWords } from '../logic/site-clock.js';
import { askBench, results } from '../state/bench.js';
import { useAnswer } from '../state/use-answer.js';
import { BenchEvents } from './bench-events.js';
import { BenchMomentFigures } from './bench-moment.js';
import { BenchTracesView } from './bench-traces.js';

const TICK_MS = 100;

/** The recording on one time axis, with an instant that one can play, step and scrub. */
export function BenchPlayer({ result }: { readonly result: BenchResult }) {
  const whole: Stretch = { fromMs: result.firstMs, toMs: result.lastMs };
  const [atMs, setAt] = useState(result.lastMs);
  const [view, setView] = useState<Stretch>(whole);
  const [playing, setPlaying] = useState(false);
  const [speed, setSpeed] = useState<number>(600);
  const [takeup, setTakeup] = useState(0);
  const place = result.takeups[takeup] ?? result.takeups[0];
  const at = useRef(atMs);
  at.current = atMs;

  useEffect(() => {
    if (!playing) return undefined;
    let last = performance.now();
    const timer = setInterval(() => {
      const now = performance.now();
      const next = played(at.current, now - last, speed, whole);
      last = now;
      setAt(next.atMs);
      setView((seen) => following(seen, next.atMs, whole));
      if (!next.goesOn) setPlaying(false);
    }, TICK_MS);
    return () => clearInterval(timer);
  }, [playing, speed]);

  const goTo = (timeMs: number): void => {
    setAt(timeMs);
    setView((seen) => following(seen, timeMs, whole));
  };
  const play = (): void => {
    if (!playing && atMs >= result.lastMs) goTo(result.firstMs);
    setPlaying(!playing);
  };
  const moment = useAnswer(() => askBench<BenchMoment>(`/moment?run=a&timeMs=${Math.round(atMs)}`), [Math.round(atMs)]);
  const zoom = (times: number): void => setView((seen) => zoomed(seen, atMs, times, whole));
  if (place === undefined) return null;
  return (
    <section aria-labelledby="bench-player">
      <h2 id="bench-player">The recording</h2>
      <div class="bench-controls">
        {result.takeups.length > 1 ? (
          <label>
            Take-up
            <select value={takeup} onChange={({ currentTarget }) => setTakeup(Number(currentTarget.value))}>
              {result.takeups.map((one, index) => (
                <option key={`${one.conveyor}/${one.takeup}`} value={index}>
                  {one.conveyor} {one.takeup}, {one.location}
                </option>
              ))}
            </select>
          </label>
        ) : null}
        <button type="button" onClick={play}>
          {playing ? 'Pause' : 'Play'}
        </button>
        <button type="button" onClick={() => goTo(stepped(atMs, view, whole, true))}>
          Step back
        </button>
        <button type="button" onClick={() => goTo(stepped(atMs, view, whole, false))}>
          Step on
        </button>
        <button type="button" onClick={() => goTo(nextEvent(result, atMs, true))}>
          Event before
        </button>
        <button type="button" onClick={() => goTo(nextEvent(result, atMs, false))}>
          Next event
        </button>
        <label>
          Speed
          <select value={speed} onChange={({ currentTarget }) => setSpeed(Number(currentTarget.value))}>
            {SPEEDS.map((one) => (
              <option key={one} value={one}>
                {speedWords(one)}
              </option>
            ))}
          </select>
        </label>
        <button type="button" onClick={() => zoom(0.5)}>
          Closer
        </button>
        <button type="button" onClick={() => zoom(2)}>
          Wider
        </button>
        <button type="button" onClick={() => setView(whole)}>
          All of it
        </button>
      </div>
      <label class="bench-scrub">
        <span>
          At <b>{timeWords(atMs, result.timezone)}</b>, {place.conveyor} {place.takeup}
        </span>
        <input
          type="range"
          aria-valuetext={timeWords(atMs, result.timezone)}
          min={result.firstMs}
          max={result.lastMs}
          step={1000}
          value={atMs}
          onInput={({ currentTarget }) => goTo(Number(currentTarget.value))}
        />
      </label>
      <BenchTracesView place={place} view={view} atMs={atMs} result={result} second={results.value.b !== undefined} />
      <BenchMomentFigures answer={moment} place={place} />
      <BenchEvents result={result} atMs={atMs} goTo={goTo} />
    </section>
  );
}
