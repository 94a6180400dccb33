import type { RemovalChoice } from '../../../agent/plan/removal-choice.js';
import type { RemovalPlan } from '../../../agent/plan/removal-plan.js';
import { showText } from '../../../agent/units/display.js';
import type { TakeupAnswer } from '../../server/logic/site-answer.js';
import { drawRemoval } from '../logic/removal-drawing.js';
import { drawRuler } from '../logic/ruler.js';
import { units } from '../state/session.js';
import { Scale, Stop, Zone } from './ruler.js';
import { RULER_SIZES } from './ruler-sizes.js';
import { useWidth } from './use-width.js';

interface RemovalRulerProps {
  readonly takeup: TakeupAnswer;
  readonly plan: Pick<RemovalPlan, 'positionMm' | 'strokeMm' | 'excess'>;
  readonly choice: RemovalChoice;
}

/** The stroke to scale with the carriage as it stands, dashed, and as it will stand, filled; hatched what is kept free inwards. */
export function RemovalRuler({ takeup, plan, choice }: RemovalRulerProps) {
  const [frame, width] = useWidth<HTMLDivElement>();
  const metrics = { ...RULER_SIZES.row, labelEvery: 48 };
  const inside = { margin: metrics.margin, width: Math.max(0, width - 2 * metrics.margin) };
  const ruler = drawRuler(takeup, undefined, inside);
  const drawing = drawRemoval(plan, choice, inside);
  const { railTop, rail, carriage } = metrics;
  const middle = railTop + rail / 2;
  const head = drawing.after < drawing.before ? 5 : -5;
  // The arrow ends at the carriage, not behind it.
  const tip = drawing.after + (Math.sign(head) * carriage) / 2;
  return (
    <div class="ruler removal-ruler" ref={frame}>
      <svg width={width} height={metrics.height} viewBox={`0 0 ${width} ${metrics.height}`} role="img" aria-label={wordsOf(plan, choice)}>
        <rect class="rail" x={ruler.inner} y={railTop} width={ruler.outer - ruler.inner} height={rail} />
        <Zone span={drawing.reserve} pattern="hatch-end" mark="" metrics={metrics} />
        <Zone span={ruler.lowZone} pattern="hatch-low" mark="" metrics={metrics} />
        <Zone span={ruler.endZone} pattern="hatch-end" mark="" metrics={metrics} />
        <Scale takeup={takeup} drawing={ruler} metrics={metrics} system={units.value} />
        <Stop x={ruler.inner - metrics.stop} metrics={metrics} />
        <Stop x={ruler.outer} metrics={metrics} />
        <g class="future">
          <line x1={drawing.drawnTo} x2={drawing.drawnTo} y1={railTop - metrics.overhang} y2={railTop + rail + metrics.overhang} />
        </g>
        <rect class="carriage-before" x={drawing.before - carriage / 2} y={railTop + 1} width={carriage} height={rail - 2} />
        <path class="move" d={`M${drawing.before} ${middle} H${tip} m${head} -5 l${-head} 5 l${head} 5`} />
        <g class="carriage">
          <rect x={drawing.after - carriage / 2} y={railTop} width={carriage} height={rail} />
        </g>
      </svg>
    </div>
  );
}

function wordsOf({ positionMm, strokeMm }: Pick<RemovalPlan, 'positionMm' | 'strokeMm'>, { settlesAtMm, drawIn }: RemovalChoice): string {
  const mm = (value: number): string => showText('travel-rough', value, units.value);
  return `Stroke ${mm(strokeMm)}: carriage at ${mm(positionMm)} now, at ${mm(settlesAtMm)} afterwards; drawn in to ${mm(positionMm - drawIn.neededMm)} for the work.`;
}
