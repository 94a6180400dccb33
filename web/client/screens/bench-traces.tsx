import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { BenchResult, BenchTraces, TraceName } from '../../../agent/contract/bench.js';
import { formatNumber, toShown, unitOf, type DisplayKind, type UnitSystem } from '../../../agent/units/display.js';
import type { BenchChart, BenchLine, BenchPicture } from '../charts/bench-chart.js';
import type { Stretch } from '../logic/bench-play.js';
import { NoAnswer } from '../parts/no-answer.js';
import { useWidth } from '../parts/use-width.js';
import { askBench } from '../state/bench.js';
import { themeShown } from '../state/preferences.js';
import { units } from '../state/session.js';
import { useAnswer } from '../state/use-answer.js';

type Place = BenchResult['takeups'][number];

interface TraceKind {
  readonly label: string;
  readonly names: readonly TraceName[];
  readonly style: BenchLine['style'];
}

/** What is drawn in one chart. */
interface Sheet {
  readonly title: string;
  readonly kind: DisplayKind;
  readonly decimals: number;
  readonly traces: readonly TraceKind[];
}

const SHEETS: readonly Sheet[] = [
  {
    title: 'Position of both sides',
    kind: 'travel',
    decimals: 1,
    traces: [
      { label: 'as read', names: ['rawLeft', 'rawRight'], style: 'faint' },
      { label: 'without spikes', names: ['freeLeft', 'freeRight'], style: 'thin' },
      { label: 'smoothed', names: ['smoothLeft', 'smoothRight'], style: 'bold' },
      { label: 'settled', names: ['settled'], style: 'points' },
    ],
  },
  {
    title: 'Length of both springs',
    kind: 'travel',
    decimals: 1,
    traces: [{ label: 'left and right', names: ['springLeft', 'springRight'], style: 'thin' }],
  },
  {
    title: 'Elongation, as it was known then',
    kind: 'elongation',
    decimals: 3,
    traces: [{ label: 'of each settled window', names: ['elongation'], style: 'points' }],
  },
];

interface TracesProps {
  readonly place: Place;
  readonly view: Stretch;
  readonly atMs: number;
  readonly result: BenchResult;
  readonly second: boolean;
}

/** The traces of one take-up under one another, on one time axis. */
export function BenchTracesView({ place, view, atMs, result, second }: TracesProps) {
  const [frame, width] = useWidth<HTMLDivElement>();
  const points = Math.max(100, Math.round(width));
  const [hidden, setHidden] = useState<ReadonlySet<string>>(new Set());
  const query = `conveyor=${encodeURIComponent(place.conveyor)}&takeup=${encodeURIComponent(place.takeup)}&fromMs=${view.fromMs}&toMs=${Math.max(view.toMs, view.fromMs + 1)}&points=${points}`;
  const a = useAnswer(() => askBench<BenchTraces>(`/traces?run=a&${query}`), [query]);
  const b = useAnswer<BenchTraces | undefined>(
    () => (second ? askBench<BenchTraces>(`/traces?run=b&${query}`) : Promise.resolve(undefined)),
    [query, second],
  );
  const system = units.value;
  const traces = useMemo(
    () => [a, b].flatMap((answer) => (answer.state === 'here' && answer.value !== undefined ? [answer.value] : [])),
    [a, b],
  );
  const marks = useMemo(
    () => [...result.alarms.filter(({ change }) => change === 'raised'), ...result.findings].map(({ timeMs }) => timeMs),
    [result],
  );
  // While it plays only the instant moves: what is drawn stays as it is.
  const pictures = useMemo(
    () => SHEETS.map((sheet): BenchPicture => ({ ...view, marks, lines: linesOf(sheet, traces, hidden, system) })),
    [view, marks, traces, hidden, system],
  );
  const toggle = (label: string): void => {
    const next = new Set(hidden);
    if (!next.delete(label)) next.add(label);
    setHidden(next);
  };
  return (
    <div class="chart-sheet bench-traces" ref={frame}>
      <fieldset class="bench-legend">
        <legend class="unseen">Traces shown</legend>
        {(SHEETS[0]?.traces ?? []).map(({ label, style }) => (
          <label key={label}>
            <input type="checkbox" checked={!hidden.has(label)} onChange={() => toggle(label)} />
            <svg class={`bench-sample ${style}`} viewBox="0 0 24 8" aria-hidden="true">
              {style === 'points' ? <circle cx="12" cy="4" r="3" /> : <path d="M0 4H24" />}
            </svg>
            {label}
          </label>
        ))}
        {second ? <span class="quiet-words">dashed: the second setting</span> : null}
      </fieldset>
      {SHEETS.map((sheet, index) => (
        <Chart
          key={sheet.title}
          sheet={sheet}
          picture={pictures[index] as BenchPicture}
          atMs={atMs}
          labelled={index === SHEETS.length - 1}
        />
      ))}
      {a.state === 'failed' ? <NoAnswer failed={a} what="the traces" /> : null}
      {b.state === 'failed' ? <NoAnswer failed={b} what="the traces of the second setting" /> : null}
      <p class="pointed">
        {a.state === 'failed' ? '' : `${fineWords(traces[0])} `}Ticks above a chart: an alarm rose or something was found.
      </p>
    </div>
  );
}

function fineWords(traces: BenchTraces | undefined): string {
  if (traces === undefined) return 'Drawing …';
  return traces.fine ? 'Drawn from every reading.' : 'Drawn from the extremes of the whole recording; come closer for every reading.';
}

function linesOf(sheet: Sheet, all: readonly BenchTraces[], hidden: ReadonlySet<string>, system: UnitSystem): BenchPicture['lines'] {
  const shown = (value: number | null): number | null => (value === null ? null : toShown(sheet.kind, value, system));
  return all.flatMap((axis, which) =>
    sheet.traces
      .filter(({ label }) => !hidden.has(label))
      .flatMap(({ label, names, style }) =>
        names.map((name) => {
          const { min, max } = axis.traces[name];
          return { axis, line: { label, style, second: which === 1, columns: { min: min.map(shown), max: max.map(shown) } } };
        }),
      ),
  );
}

function Chart({ sheet, picture, atMs, labelled }: { sheet: Sheet; picture: BenchPicture; atMs: number; labelled: boolean }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const chart = useRef<BenchChart | undefined>(undefined);
  const now = useRef({ picture, atMs });
  now.current = { picture, atMs };
  const system = units.value;
  const theme = themeShown.value;
  useEffect(() => {
    let wanted = true;
    void import('../charts/bench-chart.js').then(({ createBenchChart }) => {
      if (!wanted || canvas.current === null) return;
      chart.current = createBenchChart(
        canvas.current,
        unitOf(sheet.kind, system),
        (value) => formatNumber(value, sheet.decimals),
        labelled,
      );
      chart.current.show(now.current.picture);
      chart.current.point(now.current.atMs);
    });
    return () => {
      wanted = false;
      chart.current?.destroy();
      chart.current = undefined;
    };
  }, [system, theme]);
  useEffect(() => chart.current?.show(picture), [picture]);
  useEffect(() => chart.current?.point(atMs), [atMs]);
  return (
    <figure class="bench-chart">
      <figcaption>{sheet.title}</figcaption>
      <div class="bench-canvas">
        <canvas
          ref={canvas}
          role="img"
          aria-label={`${sheet.title}, over the stretch that is shown; its figures at the instant stand below`}
        />
      </div>
    </figure>
  );
}
