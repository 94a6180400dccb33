import { describe, expect, it, test } from 'vitest';
import { JumpWatch, type JumpTurn, type JumpWatchSaved } from '../../../agent/flow/finding/jump-watch.js';

const S = 1000;
const at = (turn: JumpTurn): string => `${turn.turn} at ${turn.atMs / S} s`;

/** Feeds one sample a second; running from the start, save from a second on. */
function watch(position: (second: number) => number, seconds: number, standsFrom = Infinity, cut?: number): JumpTurn[] {
  let jump = new JumpWatch(8);
  const turns: JumpTurn[] = [];
  for (let second = 0; second < seconds; second++) {
    if (second === cut) jump = new JumpWatch(8, JSON.parse(JSON.stringify(jump.save())) as JumpWatchSaved);
    const turn = jump.push(second * S, position(second), second < standsFrom ? second * S : 0);
    if (turn) turns.push(turn);
  }
  return turns;
}

const step =
  (from: number, moveMm: number, until = Infinity) =>
  (second: number): number =>
    second >= from && second < until ? 60 + moveMm : 60;

describe('a jump of the carriage', () => {
  test.each([-12, 12])('of %d mm that lasts a minute is told at the end of it, with the way it went', (moveMm) => {
    const turns = watch(step(300, moveMm), 500);
    expect(turns.map(at)).toEqual(['raised at 360 s']);
    expect(turns[0]!.moveMm).toBeCloseTo(moveMm, 9);
  });

  test.each([
    ['smaller than its set-point', step(300, 7.9)],
    ['back within half a minute', step(300, 30, 325)],
    ['no jump but a slow move', (second: number) => 60 + second / 12],
  ])('is none where it is %s', (_, position) => {
    expect(watch(position, 600)).toEqual([]);
  });

  it('is told though the conveyor stands before its minute is over: it began while running', () => {
    expect(watch(step(300, 30), 500, 300).map(at)).toEqual(['raised at 360 s']);
    expect(watch(step(300, 30), 500, 303).map(at)).toEqual(['raised at 360 s']);
  });

  it('is none where it began while standing, or within a minute of a start', () => {
    expect(watch(step(300, 30), 500, 290)).toEqual([]);
    expect(watch(step(20, 30), 200)).toEqual([]);
  });

  it('is over when the carriage has been steady for ten minutes', () => {
    expect(watch(step(300, 30), 1200).map(at)).toEqual(['raised at 360 s', 'cleared at 960 s']);
    // It moves on before: the ten minutes begin anew.
    const twice = (second: number): number => step(300, 30)(second) + (second >= 700 ? 20 : 0);
    expect(watch(twice, 1500).map(at)).toEqual(['raised at 360 s', 'cleared at 1360 s']);
  });

  it('is seen by readings ten seconds apart too', () => {
    const jump = new JumpWatch(8);
    const turns = Array.from({ length: 60 }, (_, i) => jump.push(i * 10 * S, i < 30 ? 60 : 90, i * 10 * S)).filter(
      (turn) => turn !== undefined,
    );
    expect(turns.map(at)).toEqual(['raised at 360 s']);
  });

  it('is the same whether or not the watch was saved on the way', () => {
    for (const cut of [50, 299, 300, 330, 360, 700]) expect(watch(step(300, 30), 1200, Infinity, cut)).toEqual(watch(step(300, 30), 1200));
  });
});
