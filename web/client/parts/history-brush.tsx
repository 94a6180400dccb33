import { useRef } from 'preact/hooks';
import { localTime } from '../../../agent/units/local-time.js';
import type { DayAnswer } from '../../server/logic/answers.js';
import { fit, movedBy, widthOf, windowAfterKey, type TimeBounds, type TimeWindow } from '../logic/time-window.js';
import { site } from '../state/session.js';
import { PLOT_LEFT_PX, PLOT_RIGHT_PX } from './plot-sizes.js';

interface HistoryBrushProps {
  readonly days: readonly DayAnswer[];
  readonly window: TimeWindow;
  readonly bounds: TimeBounds;
  readonly plotPx: number;
  readonly choose: (window: TimeWindow) => void;
}

const HEIGHT = 56;
const HANDLE_PX = 12;
/** A window that is less than this wide is drawn so wide, so that it can be taken hold of. */
const LEAST_PX = 6;

type Hold = 'from' | 'to' | 'both' | 'new';

/** The whole history, small, with the window that is shown of it: to drag, to widen, to draw anew, and to move by keys. */
export function HistoryBrush({ days, window, bounds, plotPx, choose }: HistoryBrushProps) {
  const held = useRef<{ readonly what: Hold; readonly startMs: number; readonly window: TimeWindow } | undefined>(undefined);
  const svg = useRef<SVGSVGElement>(null);
  if (plotPx <= 0) return null;
  const perPx = widthOf(bounds) / plotPx;
  const xOf = (timeMs: number): number => PLOT_LEFT_PX + (timeMs - bounds.fromMs) / perPx;
  const timeAt = (clientX: number): number =>
    bounds.fromMs + (clientX - (svg.current?.getBoundingClientRect().left ?? 0) - PLOT_LEFT_PX) * perPx;
  const [from, to] = [xOf(Math.max(window.fromMs, bounds.fromMs)), xOf(window.toMs)];
  const width = Math.max(LEAST_PX, to - from);

  const take = (what: Hold) => (event: PointerEvent) => {
    event.preventDefault();
    event.stopPropagation();
    svg.current?.setPointerCapture(event.pointerId);
    held.current = { what, startMs: timeAt(event.clientX), window };
  };
  const move = (event: PointerEvent): void => {
    if (held.current === undefined) return;
    const { what, startMs, window: before } = held.current;
    const atMs = timeAt(event.clientX);
    if (what === 'both') choose(movedBy(before, atMs - startMs, bounds));
    else if (what === 'from') choose(fit({ fromMs: Math.min(atMs, before.toMs), toMs: before.toMs }, bounds));
    else if (what === 'to') choose(fit({ fromMs: before.fromMs, toMs: Math.max(atMs, before.fromMs) }, bounds));
    else choose(fit({ fromMs: Math.min(atMs, startMs), toMs: Math.max(atMs, startMs) }, bounds));
  };
  const release = (): void => {
    held.current = undefined;
  };
  const key = (event: KeyboardEvent): void => {
    const next = windowAfterKey(window, event.key, event.shiftKey, bounds);
    if (next === undefined) return;
    event.preventDefault();
    choose(next);
  };
  return (
    <svg
      ref={svg}
      class="brush"
      width={PLOT_LEFT_PX + plotPx + PLOT_RIGHT_PX}
      height={HEIGHT}
      onPointerDown={take('new')}
      onPointerMove={move}
      onPointerUp={release}
      onPointerCancel={release}
      role="presentation"
    >
      <rect class="brush-ground" x={PLOT_LEFT_PX} y="0" width={plotPx} height={HEIGHT} />
      <path class="brush-line" d={outline(days, xOf)} />
      <g
        class="brush-window"
        tabindex={0}
        role="slider"
        aria-label="The time that is shown of the whole history: arrows move it, plus and minus change its width, Home shows all"
        aria-orientation="horizontal"
        aria-valuemin={Math.round(bounds.fromMs / 1000)}
        aria-valuemax={Math.round(bounds.toMs / 1000)}
        aria-valuenow={Math.round(window.toMs / 1000)}
        aria-valuetext={windowWords(window)}
        onKeyDown={key}
      >
        <rect class="brush-pane" x={from} y="0" width={width} height={HEIGHT} onPointerDown={take('both')} />
        <rect class="brush-handle" x={from - HANDLE_PX / 2} y="0" width={HANDLE_PX} height={HEIGHT} onPointerDown={take('from')} />
        <rect class="brush-handle" x={from + width - HANDLE_PX / 2} y="0" width={HANDLE_PX} height={HEIGHT} onPointerDown={take('to')} />
        <path class="brush-grip" d={`M${from} 16 v24 M${from + width} 16 v24`} />
      </g>
    </svg>
  );
}

function windowWords({ fromMs, toMs }: TimeWindow): string {
  const timezone = site.value?.timezone ?? 'UTC';
  const [from, to] = [fromMs, toMs].map((timeMs) => {
    const { date, minutes } = localTime(timeMs, timezone);
    return `${date} ${minutes}`;
  });
  return `${from ?? ''} to ${to ?? ''}`;
}

/** The settled position of every day as one line, broken where days are missing. */
function outline(days: readonly DayAnswer[], xOf: (timeMs: number) => number): string {
  const known = days.flatMap(({ date, positionMm }) =>
    positionMm === null ? [] : [{ timeMs: Date.parse(date) + 43_200_000, positionMm }],
  );
  const least = Math.min(...known.map(({ positionMm }) => positionMm));
  const most = Math.max(...known.map(({ positionMm }) => positionMm));
  const yOf = (mm: number): number => HEIGHT - 6 - ((mm - least) / Math.max(1e-9, most - least)) * (HEIGHT - 12);
  return known
    .map(({ timeMs, positionMm }, index) => {
      const before = known[index - 1];
      const joined = before !== undefined && timeMs - before.timeMs < 5 * 86_400_000;
      return `${joined ? 'L' : 'M'}${xOf(timeMs).toFixed(1)} ${yOf(positionMm).toFixed(1)}`;
    })
    .join('');
}
