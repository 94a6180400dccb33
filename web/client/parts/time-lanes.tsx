import type { Priority } from '../../../agent/flow/alarm-key.js';
import { localTime } from '../../../agent/units/local-time.js';
import type { TimeWindow } from '../logic/time-window.js';
import { LANES, LANE_WORDS, groupMarks, groupSign, type MarkGroup, type TimelineMark, type TimelineSpan } from '../logic/timeline-marks.js';
import { site } from '../state/session.js';
import { PriorityOutline } from './alarm-mark.js';

interface TimeLanesProps {
  readonly marks: readonly TimelineMark[];
  /** Days to come, each in a lane of its own. */
  readonly spans?: readonly TimelineSpan[];
  readonly window: TimeWindow;
  /** The chart's plot: px from the left edge, and its width. */
  readonly left: number;
  readonly width: number;
  readonly onPoint: (group: MarkGroup | undefined) => void;
}

const LANE_PX = 22;
const SHAPE_PX = 14;
/** Nearer than this, marks are drawn as one. */
const LEAST_APART_PX = 26;

/** What happened, in lanes above a chart and on its time axis: each kind has its sign, an alarm its shape. The same is in the table below. */
export function TimeLanes({ marks, spans = [], window, left, width, onPoint }: TimeLanesProps) {
  const shown = marks.filter(({ timeMs }) => timeMs >= window.fromMs && timeMs <= window.toMs);
  const xOf = (timeMs: number): number => left + ((timeMs - window.fromMs) / (window.toMs - window.fromMs)) * width;
  const lanes = LANES.filter((lane) => marks.some((mark) => mark.lane === lane));
  if (lanes.length + spans.length === 0 || width <= 0) return null;
  return (
    <svg class="lanes" height={(lanes.length + spans.length) * LANE_PX} width={left + width + 16} aria-hidden="true">
      {lanes.map((lane, row) => (
        <g key={lane} transform={`translate(0 ${String(row * LANE_PX)})`}>
          <text class="lane-name" x="0" y={LANE_PX / 2} dominant-baseline="central">
            {LANE_WORDS[lane]}
          </text>
          <line class="lane-line" x1={left} x2={left + width} y1={LANE_PX / 2} y2={LANE_PX / 2} />
          {groupMarks(
            shown.filter((mark) => mark.lane === lane),
            xOf,
            LEAST_APART_PX,
          ).map((group) => (
            <LaneMark key={group.marks[0]?.id} group={group} onPoint={onPoint} />
          ))}
        </g>
      ))}
      {spans.map((span, row) => (
        <LaneSpan key={span.words} span={span} xOf={xOf} end={left + width} y={(lanes.length + row + 0.5) * LANE_PX} />
      ))}
    </svg>
  );
}

interface LaneSpanProps {
  readonly span: TimelineSpan;
  readonly xOf: (timeMs: number) => number;
  readonly end: number;
  readonly y: number;
}

/** From the early to the late date as a bar, the date itself as a stroke through it; its words stand before it, where there is room. */
function LaneSpan({ span, xOf, end, y }: LaneSpanProps) {
  const from = xOf(span.fromMs);
  if (from > end) return null;
  const [at, to] = [Math.min(xOf(span.atMs), end), Math.min(span.toMs === undefined ? end : xOf(span.toMs), end)];
  return (
    <g class="lane-span">
      <text x={from - 6} y={y} text-anchor="end" dominant-baseline="central">
        {span.words}
      </text>
      <rect x={from} y={y - 5} width={Math.max(2, to - from)} height={10} />
      <path d={`M${at} ${y - 8} v16`} />
    </g>
  );
}

function LaneMark({ group, onPoint }: { readonly group: MarkGroup; readonly onPoint: TimeLanesProps['onPoint'] }) {
  const [first] = group.marks;
  if (first === undefined) return null;
  const sign = groupSign(group);
  const worst = group.marks.find(({ priority }) => priority !== undefined)?.priority as Priority | undefined;
  const halfWidth = Math.max(8, sign.length * 4 + 4);
  return (
    <g
      class="lane-mark"
      transform={`translate(${String(group.x)} ${String(LANE_PX / 2)})`}
      onPointerEnter={() => onPoint(group)}
      onPointerLeave={() => onPoint(undefined)}
    >
      {worst === undefined ? (
        <>
          <rect x={-halfWidth} y={-9} width={2 * halfWidth} height={18} rx={first.lane === 'findings' ? 9 : 2} />
          <text text-anchor="middle" dominant-baseline="central">
            {sign === '' ? '·' : sign}
          </text>
        </>
      ) : (
        <>
          <PriorityOutline priority={worst} x={-SHAPE_PX / 2} y={-SHAPE_PX / 2} size={SHAPE_PX} />
          {group.marks.length > 1 ? (
            <text x={SHAPE_PX / 2 + 2} dominant-baseline="central">
              {sign}
            </text>
          ) : null}
        </>
      )}
    </g>
  );
}

/** A group of marks in words, with when each was. */
export function pointedWords({ marks }: MarkGroup): string {
  const timezone = site.value?.timezone ?? 'UTC';
  const words = marks.slice(0, 4).map((mark) => {
    const { date, minutes } = localTime(mark.timeMs, timezone);
    return `${date} ${minutes} ${mark.words}`;
  });
  return [...words, ...(marks.length > 4 ? [`and ${marks.length - 4} more`] : [])].join(' · ');
}
