import type { TakeupNow } from '../../../agent/contract/messages.js';
import type { AlarmKey } from '../../../agent/flow/alarm-key.js';
import { formatNumber, toShown, unitOf, type UnitSystem } from '../../../agent/units/display.js';
import type { StandingEntry } from '../../server/logic/live-messages.js';
import type { TakeupAnswer } from '../../server/logic/site-answer.js';
import { isUp } from '../logic/alarm-words.js';
import { reasonOf } from '../logic/figure.js';
import { futureLabels } from '../logic/future-labels.js';
import { drawRuler, type FutureMark, type RulerDrawing, type Span } from '../logic/ruler.js';
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
  return (
    <div class={`ruler ruler-${size}`} ref={frame}>
      <svg
        width={width}
        height={metrics.height}
        viewBox={`0 0 ${width} ${metrics.height}`}
        role="img"
        aria-label={rulerWords(now, takeup.strokeMm, units.value)}
      >
        <rect class="rail" x={drawing.inner} y={metrics.railTop} width={drawing.outer - drawing.inner} height={metrics.rail} />
        <Zone span={drawing.lowZone} pattern="hatch-low" mark={markOf(alarms, 'stroke-low')} metrics={metrics} />
        <Zone span={drawing.endZone} pattern="hatch-end" mark={markOf(alarms, 'stroke-end')} metrics={metrics} />
        <Band span={drawing.band} metrics={metrics} />
        <Scale takeup={takeup} drawing={drawing} metrics={metrics} system={units.value} />
        <Future marks={drawing.future} metrics={metrics} />
        <Stop x={drawing.inner - metrics.stop} metrics={metrics} />
        <Stop x={drawing.outer} metrics={metrics} />
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
  return <rect class="band" x={span.from} y={metrics.railTop} width={Math.max(1, span.to - span.from)} height={metrics.rail} />;
}

/** The inner or the outer stop. */
export function Stop({ x, metrics }: { readonly x: number; readonly metrics: RulerMetrics }) {
  return (
    <rect class="stop" x={x} y={metrics.railTop - metrics.overhang} width={metrics.stop} height={metrics.rail + 2 * metrics.overhang} />
  );
}

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
  return (
    <g class="scale" style={{ fontSize: `${metrics.letter}px` }}>
      {scaleTicks(length, (outer - inner) / metrics.labelEvery).map(({ value, label }) => (
        <g key={value}>
          <line x1={x(value)} x2={x(value)} y1={bottom} y2={bottom + (label === undefined ? metrics.tick / 2 : metrics.tick)} />
          {label !== undefined && outer - x(value) > metrics.labelEvery * 0.75 ? (
            <text x={x(value)} y={baseline} text-anchor="middle">
              {label}
            </text>
          ) : null}
        </g>
      ))}
      <text x={outer + metrics.stop} y={baseline} text-anchor="end">
        {`${formatNumber(length, system === 'metric' ? 0 : 1)} ${unitOf('travel', system)}`}
      </text>
    </g>
  );
}

function Future({ marks, metrics }: { readonly marks: readonly FutureMark[]; readonly metrics: RulerMetrics }) {
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
function Carriage({ drawing: { left, right }, metrics }: { readonly drawing: RulerDrawing; readonly metrics: RulerMetrics }) {
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
