import { useMemo } from 'preact/hooks';
import type { TakeupNow } from '../../../agent/contract/messages.js';
import type { AlarmKey } from '../../../agent/flow/alarm-key.js';
import { formatNumber, toShown, unitOf, type UnitSystem } from '../../../agent/units/display.js';
import type { StandingEntry } from '../../server/logic/live-messages.js';
import type { TakeupAnswer } from '../../server/logic/site-answer.js';
import { isUp } from '../logic/alarm-words.js';
import { reasonOf } from '../logic/figure.js';
import { futureLabels } from '../logic/future-labels.js';
import { drawRuler, type FutureMark, type RulerDrawing, type Span } from '../logic/ruler.js';
import { px } from '../logic/px.js';
import { rulerWords } from '../logic/takeup-sentence.js';
import { scaleTicks } from '../logic/ticks.js';
import { units } from '../state/session.js';
import { RULER_SIZES, type RulerMetrics, type RulerSize } from './ruler-sizes.js';
import { useWidth } from './use-width.js';

interface RulerProps {
  readonly takeup: TakeupAnswer;
  readonly now: TakeupNow | undefined;
  readonly alarms: readonly StandingEntry[];
  readonly size: RulerSize;
}

/** A take-up's stroke to scale: stops, zones, the day's band, what is to come, and the carriage with its two sides. */
export function Ruler({ takeup, now, alarms, size }: RulerProps) {
  const [frame, width] = useWidth<HTMLDivElement>();
  const metrics = RULER_SIZES[size];
  const drawing = drawRuler(takeup, now, { margin: metrics.margin, width: Math.max(0, width - 2 * metrics.margin) });
  const [low, end] = [markOf(alarms, 'stroke-low'), markOf(alarms, 'stroke-end')];
  const system = units.value;
  // What stays as it is while the carriage moves is not even looked at.
  const ground = useMemo(
    () => (
      <g>
        <rect class="rail" x={drawing.inner} y={metrics.railTop} width={drawing.outer - drawing.inner} height={metrics.rail} />
        <Zone span={drawing.lowZone} pattern="hatch-low" mark={low} metrics={metrics} />
        <Zone span={drawing.endZone} pattern="hatch-end" mark={end} metrics={metrics} />
        <Scale takeup={takeup} drawing={drawing} metrics={metrics} system={system} />
      </g>
    ),
    [takeup, metrics, width, low, end, system],
  );
  const stops = useMemo(
    () => (
      <g>
        <Stop x={drawing.inner - metrics.stop} metrics={metrics} />
        <Stop x={drawing.outer} metrics={metrics} />
      </g>
    ),
    [takeup, metrics, width],
  );
  return (
    <div class={`ruler ruler-${size}`} ref={frame}>
      <svg
        width={width}
        height={metrics.height}
        viewBox={`0 0 ${width} ${metrics.height}`}
        role="img"
        aria-label={rulerWords(now, takeup.strokeMm, system)}
      >
        {ground}
        <Band span={drawing.band} metrics={metrics} />
        <Future marks={drawing.future} metrics={metrics} />
        {stops}
        <Carriage drawing={drawing} metrics={metrics} />
        <WhyNoCarriage now={now} drawing={drawing} metrics={metrics} />
      </svg>
    </div>
  );
}

interface ZoneProps {
  readonly span: Span | undefined;
  readonly pattern: string;
  /** Colours the zone while its alarm stands. */
  readonly mark: string;
  readonly metrics: RulerMetrics;
}

/** A stretch of the rail that is hatched. */
export function Zone({ span, pattern, mark, metrics }: ZoneProps) {
  if (span === undefined) return null;
  const box = { x: span.from, y: metrics.railTop, width: span.to - span.from, height: metrics.rail };
  return (
    <g class={`zone ${mark}`}>
      {mark === '' ? null : <rect class="zone-ground" {...box} />}
      <rect fill={`url(#${pattern})`} {...box} />
    </g>
  );
}

/** The priority of a zone's standing alarm. */
function markOf(alarms: readonly StandingEntry[], key: AlarmKey): string {
  const alarm = alarms.find((one) => one.alarm === key && isUp(one.state));
  return alarm === undefined ? '' : `priority-${alarm.priority}`;
}

function Band({ span, metrics }: { readonly span: Span | undefined; readonly metrics: RulerMetrics }) {
  if (span === undefined) return null;
  const [from, to] = [px(span.from), px(span.to)];
  return <rect class="band" x={from} y={metrics.railTop} width={px(Math.max(1, to - from))} height={metrics.rail} />;
}

/** The inner or the outer stop. */
export function Stop({ x, metrics }: { readonly x: number; readonly metrics: RulerMetrics }) {
  return (
    <rect class="stop" x={x} y={metrics.railTop - metrics.overhang} width={metrics.stop} height={metrics.rail + 2 * metrics.overhang} />
  );
}

/** Of figures and the space between them, over their height; the widest letters in use. */
const LETTER_WIDTH = 0.62;

interface ScaleProps {
  readonly takeup: Pick<TakeupAnswer, 'strokeMm'>;
  readonly drawing: Pick<RulerDrawing, 'inner' | 'outer'>;
  readonly metrics: RulerMetrics;
  readonly system: UnitSystem;
}

/** The marks below the rail, from the inner stop, in the units of the person. */
export function Scale({ takeup, drawing: { inner, outer }, metrics, system }: ScaleProps) {
  const length = toShown('travel', takeup.strokeMm, system);
  const bottom = metrics.railTop + metrics.rail;
  const x = (value: number): number => inner + (value / length) * (outer - inner);
  const baseline = bottom + metrics.tick + metrics.letter;
  const end = `${formatNumber(length, system === 'metric' ? 0 : 1)} ${unitOf('travel', system)}`;
  // What stands before the end leaves its words room.
  const lettersPx = (count: number): number => count * LETTER_WIDTH * metrics.letter;
  const last = outer + metrics.stop - lettersPx(end.length + 1);
  return (
    <g class="scale" style={{ fontSize: `${metrics.letter}px` }}>
      {scaleTicks(length, (outer - inner) / metrics.labelEvery).map(({ value, label }) => (
        <g key={value}>
          <line x1={x(value)} x2={x(value)} y1={bottom} y2={bottom + (label === undefined ? metrics.tick / 2 : metrics.tick)} />
          {label !== undefined && x(value) + lettersPx(label.length) / 2 < last ? (
            <text x={x(value)} y={baseline} text-anchor="middle">
              {label}
            </text>
          ) : null}
        </g>
      ))}
      <text x={outer + metrics.stop} y={baseline} text-anchor="end">
        {end}
      </text>
    </g>
  );
}

function Future({ marks: exact, metrics }: { readonly marks: readonly FutureMark[]; readonly metrics: RulerMetrics }) {
  // They go with the carriage's to-and-fro; letters that tremble are hard to read, and dear to draw.
  const marks = exact.map((mark) => ({ ...mark, x: Math.round(mark.x) }));
  return (
    <g class="future" style={{ fontSize: `${metrics.letter}px` }}>
      {marks.map(({ days, x }) => (
        <line key={days} x1={x} x2={x} y1={metrics.railTop - metrics.overhang} y2={metrics.railTop + metrics.rail} />
      ))}
      {futureLabels(marks, metrics.letter).map(({ days, x, words, anchor }) => (
        <text key={days} x={x} y={metrics.railTop - metrics.knob - 2} text-anchor={anchor}>
          {words}
        </text>
      ))}
    </g>
  );
}

/** In the place of a carriage whose sides are both unknown: why. */
function WhyNoCarriage({
  now,
  drawing,
  metrics,
}: {
  readonly now: TakeupNow | undefined;
  readonly drawing: RulerDrawing;
  readonly metrics: RulerMetrics;
}) {
  if (drawing.left !== undefined || drawing.right !== undefined) return null;
  const words = now === undefined ? 'nothing heard yet' : `unknown, ${reasonOf(now.positionMm) ?? ''}`;
  return (
    <text
      class="rail-words"
      x={(drawing.inner + drawing.outer) / 2}
      y={metrics.railTop + metrics.rail / 2}
      text-anchor="middle"
      dominant-baseline="central"
      style={{ fontSize: `${metrics.letter + 3}px` }}
    >
      {words}
    </text>
  );
}

/** Left side in the upper half, right side in the lower, joined by the cross-beam: skew is seen as its slant. */
function Carriage({ drawing, metrics }: { readonly drawing: RulerDrawing; readonly metrics: RulerMetrics }) {
  const [left, right] = [drawing.left, drawing.right].map((x) => (x === undefined ? undefined : px(x)));
  const { railTop, rail, carriage, knob } = metrics;
  const middle = railTop + rail / 2;
  const bottom = railTop + rail;
  return (
    <g class="carriage">
      {left === undefined || right === undefined ? null : (
        <line class="beam" x1={left} y1={railTop + rail / 4} x2={right} y2={bottom - rail / 4} />
      )}
      {left === undefined ? null : <rect x={left - carriage / 2} y={railTop} width={carriage} height={middle - railTop - 1} />}
      {left === undefined ? null : <path d={`M${left} ${railTop} l${-knob} ${-knob} h${2 * knob} Z`} />}
      {right === undefined ? null : <rect x={right - carriage / 2} y={middle + 1} width={carriage} height={bottom - middle - 1} />}
      {right === undefined ? null : <path d={`M${right} ${bottom} l${-knob} ${knob} h${2 * knob} Z`} />}
    </g>
  );
}
