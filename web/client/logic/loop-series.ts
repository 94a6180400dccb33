import { formatNumber, toShown, unitOf, type UnitSystem } from '../../../agent/units/display.js';
import type { LoopAnswer, LoopCaseAnswer, LoopPoint, LoopStretch, LoopWayAnswer } from '../../server/logic/plan-answers.js';

export type Loop = NonNullable<LoopAnswer['loop']>;

/** One way of running, as a line over the developed length from the take-up; in the units of the person. */
export interface LoopSeries {
  readonly key: 'loaded' | 'empty' | 'worst' | 'backwards' | 'backwards-empty';
  readonly label: string;
  readonly points: readonly { readonly x: number; readonly y: number }[];
}

/** The lines of the chart: loaded and empty, the load with the slackest chain where it is neither, and the other way round. */
export function loopSeries(loop: Loop, withBackwards: boolean, system: UnitSystem): readonly LoopSeries[] {
  return lines(loop, withBackwards).map(({ key, label, of }) => ({
    key,
    label,
    points: of.points.map(({ atMm, tensionN }) => ({ x: toShown('chain-length', atMm, system), y: toShown('force', tensionN, system) })),
  }));
}

/** The same as a table: a row a place, a column a line. */
export interface LoopTable {
  readonly columns: readonly string[];
  readonly rows: readonly { readonly place: string; readonly at: string; readonly tensions: readonly string[] }[];
}

export function loopTable(loop: Loop, withBackwards: boolean, system: UnitSystem): LoopTable {
  const shown = lines(loop, withBackwards);
  const places = shown[0]?.of.points ?? [];
  return {
    columns: shown.map(({ label }) => `${label}, ${unitOf('force', system)}`),
    rows: places.map((point, index) => ({
      place: pointWords(point, loop.stretches),
      at: formatNumber(toShown('chain-length', point.atMm, system), system === 'metric' ? 1 : 0),
      tensions: shown.map(({ of }) => {
        const tensionN = of.points[index]?.tensionN;
        return tensionN === undefined ? '' : formatNumber(toShown('force', tensionN, system), 0);
      }),
    })),
  };
}

/** The places of the usual direction of travel, by which both ways are told. */
function pointWords({ place, atMm }: LoopPoint, stretches: readonly LoopStretch[]): string {
  switch (place) {
    case 'leaving-take-up':
      return 'leaving the take-up';
    case 'entering-take-up':
      return 'entering the take-up';
    case 'drive-tight':
      return 'before the drive';
    case 'drive-slack':
      return 'after the drive';
    case 'along': {
      const stretch = stretches.find(({ kind, toMm }) => kind !== 'drive' && Math.abs(toMm - atMm) < NEAR_MM);
      return stretch === undefined ? 'along the path' : `end of: ${stretch.words}`;
    }
  }
}

/** The ends of stretches are sums of the same lengths, so they differ by the last digits alone. */
const NEAR_MM = 0.01;

interface Line {
  readonly key: LoopSeries['key'];
  readonly label: string;
  readonly of: LoopCaseAnswer;
}

function lines({ forwards, backwards }: Loop, withBackwards: boolean): readonly Line[] {
  return [...ways(forwards, 'Forwards', ['loaded', 'empty', 'worst']), ...(withBackwards ? worstOf(backwards) : [])];
}

function ways({ cases, slackest }: LoopWayAnswer, way: string, keys: readonly ['loaded', 'empty', 'worst']): readonly Line[] {
  return keys.flatMap((key): readonly Line[] => {
    const shownAlready = slackest === 'loaded' || slackest === 'empty';
    if (key === 'worst' && shownAlready) return [];
    const of = cases.find(({ load }) => load === (key === 'worst' ? slackest : key));
    return of === undefined ? [] : [{ key, label: `${way}, ${of.title}`, of }];
  });
}

/** Of the other way round the hardest load, and empty beside it. */
function worstOf({ cases, slackest }: LoopWayAnswer): readonly Line[] {
  const find = (load: LoopCaseAnswer['load'], key: LoopSeries['key']): readonly Line[] => {
    const of = cases.find((one) => one.load === load);
    return of === undefined ? [] : [{ key, label: `Backwards, ${of.title}`, of }];
  };
  return [...find(slackest, 'backwards'), ...(slackest === 'empty' ? [] : find('empty', 'backwards-empty'))];
}
