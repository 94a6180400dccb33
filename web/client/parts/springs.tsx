import type { SideNow, TakeupNow } from '../../../agent/contract/messages.js';
import type { SideName } from '../../../agent/site/site.js';
import { showText } from '../../../agent/units/display.js';
import type { StandingEntry } from '../../server/logic/live-messages.js';
import type { TakeupAnswer } from '../../server/logic/site-answer.js';
import { isUp } from '../logic/alarm-words.js';
import { numberOf } from '../logic/figure.js';
import { springInForce, springNow } from '../logic/spring-now.js';
import { px } from '../logic/px.js';
import { drawSpring, type Coil, type SpringDrawing } from '../logic/spring.js';
import { units } from '../state/session.js';
import { FigureText } from './figure-text.js';
import { useWidth } from './use-width.js';

export type SpringSize = 'row' | 'tall' | 'large';

const HEIGHTS: Readonly<Record<SpringSize, number>> = { row: 27, tall: 40, large: 48 };
const SEAT_PX = 4;
const SCALE_PX = 5;
const SIDES: readonly SideName[] = ['left', 'right'];

interface SpringsProps {
  readonly takeup: TakeupAnswer;
  readonly now: TakeupNow | undefined;
  readonly alarms: readonly StandingEntry[];
  readonly size: SpringSize;
}

/** Both sides' springs, one above the other as on the ruler. */
export function Springs({ takeup, now, alarms, size }: SpringsProps) {
  return (
    <div class={`springs springs-${size}`}>
      {SIDES.map((side) => (
        <OneSpring key={side} takeup={takeup} side={side} now={now?.[side]} mark={markOf(alarms, side)} height={HEIGHTS[size]} />
      ))}
    </div>
  );
}

interface OneSpringProps {
  readonly takeup: TakeupAnswer;
  readonly side: SideName;
  readonly now: SideNow | undefined;
  readonly mark: string;
  readonly height: number;
}

function OneSpring({ takeup, side, now, mark, height }: OneSpringProps) {
  const [frame, width] = useWidth<HTMLDivElement>();
  const figure = springNow(now, takeup.sides[side].spring !== undefined);
  const length = numberOf(figure);
  const spring = springInForce(now, takeup.spring);
  const drawing = length === undefined ? undefined : drawSpring(spring, length, Math.max(0, width - 2 * SEAT_PX));
  const words =
    length === undefined
      ? `Spring, ${side}: length unknown`
      : `Spring, ${side}: ${showText('travel-rough', length, units.value)} long, ${showText('travel-rough', length - spring.solidMm, units.value)} before its coils touch`;
  return (
    <div class="spring">
      <span class="side" aria-hidden="true">
        {side === 'left' ? 'L' : 'R'}
      </span>
      <div class="spring-frame" ref={frame}>
        <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={words} class={mark}>
          {drawing === undefined ? (
            <rect class="no-spring" x="0.5" y="2.5" width={Math.max(0, width - 1)} height={height - 5} />
          ) : (
            <SpringPicture drawing={drawing} height={height} />
          )}
        </svg>
      </div>
      <span class="spring-length">
        <FigureText kind="travel-rough" figure={figure} brief />
      </span>
    </div>
  );
}

/** Below the coils a scale: from where the coils touch to the shortest usable length it is hatched. */
function SpringPicture({ drawing, height }: { readonly drawing: SpringDrawing; readonly height: number }) {
  const { coils, wire, end, solid, shortest, free } = drawing;
  const [top, bottom] = [1, height - SCALE_PX - 2];
  return (
    <g transform={`translate(${SEAT_PX} 0)`}>
      <rect class="spring-scale" x="0" y={height - SCALE_PX} width={free} height={SCALE_PX} />
      <rect class="solid-part" x="0" y={height - SCALE_PX} width={solid} height={SCALE_PX} />
      <rect fill="url(#hatch-end)" x={solid} y={height - SCALE_PX} width={shortest - solid} height={SCALE_PX} />
      <path class="coil-back" d={backs(coils, top, bottom)} style={{ strokeWidth: `${px(Math.max(1, wire * 0.35))}px` }} />
      <path class="coil" d={fronts(coils, wire, top, bottom)} />
      <rect class="seat" x={-SEAT_PX} y="0" width={SEAT_PX} height={height} />
      <rect class="seat" x={px(end)} y="0" width={SEAT_PX} height={height} />
    </g>
  );
}

/** All fronts are one shape: a spring of sixteen coils that moves is two things to draw anew, not sixty. */
function fronts(coils: readonly Coil[], wire: number, top: number, bottom: number): string {
  const half = wire / 2;
  return coils
    .map(({ bottom: low, top: high }) => {
      const [right, left] = [px(low + half), px(high - half)];
      return `M${px(low - half)} ${bottom} L${left} ${top} H${px(high + half)} L${right} ${bottom} Z`;
    })
    .join(' ');
}

/** From the top of each coil to the bottom of the next, behind them. */
function backs(coils: readonly Coil[], top: number, bottom: number): string {
  return coils
    .slice(1)
    .map(({ bottom: low }, index) => `M${px(coils[index]?.top ?? 0)} ${top} L${px(low)} ${bottom}`)
    .join(' ');
}

/** The priority of a standing alarm of this side's spring, which colours it. */
function markOf(alarms: readonly StandingEntry[], side: SideName): string {
  const alarm = alarms.find((one) => one.alarm.startsWith('spring-') && isUp(one.state) && (one.side ?? side) === side);
  return alarm === undefined ? '' : `priority-${alarm.priority}`;
}
