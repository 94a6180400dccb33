import { describe, expect, it, test } from 'vitest';
import { drawInMm, nominalLengthMm } from '../../agent/flow/ledger/closure.js';
import { type JobCheckInput, type PlannedJob, type Standing, checkJob } from '../../agent/plan/job-check.js';
import { planRemoval } from '../../agent/plan/removal-plan.js';
import { SIDES } from '../../agent/plan/side-springs.js';
import { plant, standing } from './plants.js';

/** 3200 pitches, ε 0.4 %, the carriage at 205 mm, 4 pitches to come out. */
const HERE = plant();
const STATE = standing(HERE, { positionMm: 205, elongationPct: 0.4, springLeftMm: 285, springRightMm: 285 });
const BEFORE: Standing = {
  asOf: '2026-03-02T05:40:00Z',
  positionMm: 205,
  elongation: 0.004,
  pitches: 3200,
  thermalMm: 30,
  springMm: { left: 285, right: 285 },
};
const PLANNED = plannedOut(4);

function plannedOut(pitches: number): PlannedJob {
  const choice = planRemoval(HERE.conveyor, HERE.takeup, STATE).choices.find((one) => one.pitches === pitches);
  if (choice === undefined) throw new Error('there is such a choice');
  const { sides, moveMm } = choice.nuts;
  return {
    ...{ pitches, fromMm: 205, settlesAtMm: 205 + moveMm },
    springMm: { left: sides.left.springAfterMm, right: sides.right.springAfterMm },
  };
}

interface Happened {
  /** Pitches that really came out, and those written down, on which the account of the chain rests. */
  readonly out: number;
  readonly recorded: number;
  /** Heat taken on since, mm of chain. */
  readonly heatMm?: number;
}

/** Where the carriage settles, and which ε the account makes of it: the path closes with the pitches that really are in the circuit. */
function after({ out, recorded, heatMm = 0 }: Happened): Standing {
  const { chain } = HERE.conveyor;
  const { gain } = HERE.takeup;
  const positionMm = 205 - drawInMm(out, chain, 0.004, gain) + heatMm / gain;
  const believed = nominalLengthMm(3200 - recorded, chain);
  const really = nominalLengthMm(3200 - out, chain);
  return {
    ...{ asOf: '2026-03-02T11:10:00Z', positionMm, pitches: 3200 - recorded, thermalMm: 30 + heatMm },
    elongation: (really * 1.004) / believed - 1,
    springMm: {
      left: PLANNED.springMm.left + positionMm - PLANNED.settlesAtMm,
      right: PLANNED.springMm.right + positionMm - PLANNED.settlesAtMm,
    },
  };
}

function check(happened: Happened, different: Partial<JobCheckInput> = {}) {
  return checkJob({
    ...{ planned: PLANNED, recordedPitches: happened.recorded, accountedPitches: happened.recorded, disturbed: undefined },
    ...{ before: BEFORE, after: after(happened), conveyor: HERE.conveyor, takeup: HERE.takeup, system: 'metric' },
    ...different,
  });
}

describe('a job, an hour after the restart', () => {
  it('is not judged before that', () => {
    expect(check({ out: 4, recorded: 4 }, { after: undefined })).toEqual({
      verdict: 'not-yet',
      sentence: 'Not yet: it must run an hour first.',
    });
  });

  it('is as planned where the carriage has come in by as much', () => {
    const seen = check({ out: 4, recorded: 4 });
    expect(seen).toMatchObject({ verdict: 'agrees', sentence: 'The carriage says the same: 4 pitches out.' });
    expect(seen.pitches?.seen).toBeCloseTo(4, 6);
    expect(seen.move?.seenMm).toBeCloseTo(seen.move?.expectedMm ?? 0, 6);
    for (const side of SIDES) expect(seen.springs?.[side].seenMm).toBeCloseTo(seen.springs?.[side].expectedMm ?? 0, 6);
  });

  it('has a wrong count where the carriage says another', () => {
    expect(check({ out: 2, recorded: 4 })).toMatchObject({
      verdict: 'count-differs',
      sentence: '4 pitches were planned and written down, the carriage says 2: check the count.',
    });
    expect(check({ out: 4, recorded: 2 })).toMatchObject({
      verdict: 'count-differs',
      sentence: '2 pitches were written down, the carriage says 4: check the count.',
    });
  });

  it('that took out less than planned, and says so, is told apart from one that counted wrong', () => {
    expect(check({ out: 2, recorded: 2 })).toMatchObject({
      verdict: 'plan-differs',
      sentence: '4 pitches were planned, 2 written down, and the carriage says the same: 2 pitches out.',
    });
  });

  it('is set right by a correction: what was seen stays, what is written down changes', () => {
    expect(check({ out: 2, recorded: 4 }, { recordedPitches: 2 })).toMatchObject({ verdict: 'plan-differs', pitches: { recorded: 2 } });
  });

  test.each([-60, 45, 120])('is judged the same with %d mm of heat taken on since', (heatMm) => {
    const seen = check({ out: 4, recorded: 4, heatMm });
    expect(seen.verdict).toBe('agrees');
    expect(seen.move?.seenMm).toBeCloseTo(seen.move?.expectedMm ?? 0, 6);
    expect(check({ out: 2, recorded: 4, heatMm }).verdict).toBe('count-differs');
  });

  it('is judged by the move alone where the carriage only bounded the elongation before', () => {
    const { elongation, ...bounded } = BEFORE;
    expect(elongation).toBe(0.004);
    expect(check({ out: 4, recorded: 4, heatMm: 40 }, { before: bounded }).verdict).toBe('agrees');
    expect(check({ out: 2, recorded: 4, heatMm: 40 }, { before: bounded }).verdict).toBe('count-differs');
  });

  it('names the springs that are not as planned', () => {
    const { springMm, ...rest } = after({ out: 4, recorded: 4 });
    const off = { ...rest, springMm: { left: (springMm?.left ?? 0) + 6, right: springMm?.right ?? 0 } };
    const { verdict, sentence } = check({ out: 4, recorded: 4 }, { after: off });
    expect(verdict).toBe('springs-differ');
    expect(sentence.replaceAll('\u00a0', ' ')).toBe(
      'The carriage says the same: 4 pitches out. But the left spring is 6.0 mm longer than planned: check the turns.',
    );
  });

  test.each<[string, Partial<JobCheckInput>, string]>([
    ['had not settled before the work', { before: undefined }, 'no settled position before the work'],
    ['stands at its inner stop', { after: { ...after({ out: 4, recorded: 4 }), positionMm: 0.2 } }, 'inner stop'],
    ['stands at its outer stop', { after: { ...after({ out: 4, recorded: 4 }), positionMm: 229.8 } }, 'outer stop'],
    ['moved for other work too', { disturbed: 'chain was put in meanwhile' }, 'put in meanwhile'],
  ])('is not judged where the carriage %s', (_, different, why) => {
    const { verdict, sentence } = check({ out: 4, recorded: 4 }, different);
    expect(verdict).toBe('cannot-say');
    expect(sentence).toContain(why);
  });

  it('is not judged where the move is no whole number of repeats', () => {
    const between = { ...after({ out: 3, recorded: 4 }) };
    expect(check({ out: 3, recorded: 4 }, { after: between })).toMatchObject({ verdict: 'cannot-say' });
  });

  it('of the nuts alone is judged by the springs', () => {
    const planned: PlannedJob = { pitches: 0, fromMm: 205, settlesAtMm: 205, springMm: { left: 270, right: 270 } };
    const still = { ...BEFORE, asOf: '2026-03-02T11:10:00Z' };
    const set = { ...still, springMm: { left: 270.5, right: 269.4 } };
    expect(check({ out: 0, recorded: 0 }, { planned, after: set }).verdict).toBe('agrees');
    expect(check({ out: 0, recorded: 0 }, { planned, after: still }).verdict).toBe('springs-differ');
  });
});
