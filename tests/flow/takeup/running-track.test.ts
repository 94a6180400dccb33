import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { RunningTrack } from '../../../agent/flow/takeup/running-track.js';

describe('when a conveyor ran', () => {
  it('is always, where no running signal is configured', () => {
    const track = new RunningTrack(true);
    expect(track.at(1000)).toBe(1);
    expect(track.ranMsAt(9000) - track.ranMsAt(1000)).toBe(8000);
    expect(track.stoodBeforeMs(9000)).toBe(0);
  });

  it('is unknown until its signal has spoken, and again while it is lost', () => {
    const track = new RunningTrack(false);
    expect(track.at(1000)).toBeNaN();
    track.turn(1000, 1);
    track.turn(5000, NaN);
    expect([track.at(999), track.at(1000), track.at(4999), track.at(5000)]).toEqual([NaN, 1, 1, NaN]);
    // Neither running nor standing is counted while it is unknown.
    expect(track.ranMsAt(60_000)).toBe(4000);
  });

  it('stands still as a clock while the conveyor does', () => {
    const track = new RunningTrack(false);
    track.turn(0, 1);
    track.turn(600_000, 0);
    track.turn(900_000, 1);
    expect([600_000, 700_000, 900_000, 960_000].map((at) => track.ranMsAt(at))).toEqual([600_000, 600_000, 600_000, 660_000]);
    expect([599_999, 600_000, 899_999, 960_000].map((at) => track.sinceMs(at))).toEqual([0, 600_000, 600_000, 900_000]);
    expect(track.stoodBeforeMs(960_000)).toBe(300_000);
  });

  it('tells of moments past, since positions are judged a few readings late', () => {
    const track = new RunningTrack(false);
    track.turn(0, 1);
    track.turn(10_000, 0);
    expect([track.at(9000), track.ranMsAt(9000)]).toEqual([1, 9000]);
  });

  it('takes no turn from a repeated state, nor from one out of turn', () => {
    const track = new RunningTrack(false);
    track.turn(0, 1);
    track.turn(5000, 1);
    expect(track.sinceMs(6000)).toBe(0);
    track.turn(10_000, 0);
    track.turn(8000, 1);
    expect(track.at(12_000)).toBe(0);
    expect(track.sinceMs(12_000)).toBe(10_000);
  });

  it('is the sum of its runs, however many starts and stops there were', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 100_000 }), { minLength: 1, maxLength: 300 }), (stretches) => {
        let track = new RunningTrack(false);
        let [timeMs, ran] = [0, 0];
        stretches.forEach((stretch, i) => {
          track.turn(timeMs, i % 2 === 0 ? 1 : 0);
          if (i % 7 === 0) track = new RunningTrack(false, JSON.parse(JSON.stringify(track.save())) as ReturnType<RunningTrack['save']>);
          timeMs += stretch;
          if (i % 2 === 0) ran += stretch;
        });
        expect(track.ranMsAt(timeMs)).toBe(ran);
      }),
    );
  });
});
