import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { SettledDayOutput } from '../../agent/flow/output.js';
import { readSite } from '../../agent/site/read-site.js';
import type { Site } from '../../agent/site/site.js';
import { formatTime } from '../../agent/units/time.js';
import type { LoopAnswer, PlanAnswer } from '../../web/server/logic/plan-answers.js';
import { goodSite } from '../site/fixture-files.js';
import { startPlant, type Plant } from '../web/a-plant.js';
import { nowOf } from '../web/a-takeup.js';
import { engineer, visitor, type Visitor } from '../web/a-visitor.js';
import { plantDay } from '../web/plant-day.js';

const PLAN = '/api/takeups/enamel/tu1/plan';
const LOOP = '/api/conveyors/enamel/loop';
const HOUR_MS = 3_600_000;

let plant: Plant;
let boss: Visitor;
let days: SettledDayOutput[] = [];

beforeAll(async () => {
  plant = await startPlant({ site: fullSite(), history: { settledDays: () => Promise.resolve(days) } });
  boss = await engineer(plant.web);
});
afterAll(() => plant.stop());

function fullSite(): Site {
  const reading = readSite(goodSite('full'), 'full.yaml');
  if (!reading.ok) throw new Error('the full fixture site is good');
  // Beside it the same line as nobody has told its path.
  return { ...reading.site, conveyors: reading.site.conveyors.flatMap((line) => [line, { ...line, id: `${line.id}-bare`, path: [] }]) };
}

/** A day of the plant that has settled, so many days ago. */
function dayAgo(ago: number, positionMm: number): SettledDayOutput {
  const date = plantDay(ago, fullSite().timezone);
  return {
    ...{ kind: 'settled-day', date, conveyor: 'enamel', takeup: 'tu1', windows: 40, positionMm, skewMm: 1, breathingMm: 3 },
    ...{ thermalMm: 20, elasticMm: 0, pitches: 3200, elongationPct: 0.4, wearPerJointMm: 0.3, springLeftMm: 285, springRightMm: 283 },
    ...{ strandTensionN: 1200, flag: 'value' },
  };
}

const settled = (hoursAgo: number, positionMm: number) =>
  nowOf({
    ...{ conveyor: 'enamel', takeup: 'tu1', time: formatTime(Date.now()), settledMm: positionMm, breathingMm: 4 },
    settledAt: formatTime(Date.now() - hoursAgo * HOUR_MS),
  });

async function planOf(query = ''): Promise<PlanAnswer> {
  const response = await boss.ask('GET', `${PLAN}${query}`);
  expect(response.status).toBe(200);
  return (await response.json()) as PlanAnswer;
}

describe('a plan over the web', () => {
  it('is refused to nobody who is signed in, and to everybody who is not', async () => {
    expect((await visitor(plant.web.url).ask('GET', PLAN)).status).toBe(401);
    expect((await boss.ask('GET', PLAN)).status).toBe(200);
    expect((await boss.ask('GET', '/api/takeups/enamel/tu9/plan')).status).toBe(404);
    expect((await boss.ask('GET', '/api/conveyors/nothing/loop')).status).toBe(404);
  });

  it('of which nothing is known says what to give', async () => {
    days = [];
    const plan = await planOf();
    expect(plan).toMatchObject({ removal: null, nuts: null, basis: { source: 'none', asOf: null } });
    expect(plan.refused).toHaveLength(2);
    expect(await planOf('?positionMm=200&elongationPct=0.4')).toMatchObject({ refused: [], basis: { source: 'given' } });
  });

  it('begins with the last settled day where the agent is silent, and says how old that is', async () => {
    days = [dayAgo(9, 190), dayAgo(7, 200)];
    const plan = await planOf();
    expect(plan.basis).toMatchObject({ source: 'settled-day', figures: { positionMm: 200, elongationPct: 0.4, springLeftMm: 285 } });
    expect(plan.basis.sentence).toContain('silent');
    expect(plan.basis.sentence).toContain('6 days old');
    expect(plan.removal?.choices.length).toBeGreaterThan(1);
  });

  it('begins with the live picture where the agent is heard, and says when the carriage settled', async () => {
    await plant.agent.heartbeat();
    await plant.agent.now(settled(3, 205));
    await expect.poll(async () => (await planOf()).basis.source).toBe('live');
    const plan = await planOf();
    expect(plan.basis.figures.positionMm).toBe(205);
    expect(plan.basis.sentence).toContain('3 hours ago');
    expect(plan.removal?.sentences[0]).toMatch(/^Recommended: \d+ pitches, because /);
    expect(plan.nuts?.toTension.plan.sides.left.marginToSolidMm).toBeGreaterThan(0);
    expect(plan.cautions[0]?.key).toBe('not-a-safety-device');
  });

  it('follows what it is asked with: a target tension, room inwards, one removal by its repeats', async () => {
    const usual = await planOf();
    const asked = await planOf('?targetTensionN=700&besidesInwardsMm=60&repeats=9&handlingSlackMm=0&units=imperial');
    expect(asked.removal?.plan.targetTensionN).toBe(700);
    expect(asked.removal?.plan.excess.totalMm).toBeCloseTo((usual.removal?.plan.excess.totalMm ?? 0) + 60, 9);
    const room = await planOf('?besidesInwardsMm=140');
    const canBeMade = ({ removal }: PlanAnswer) => removal?.choices.filter((choice) => choice.canBeMade).length ?? 0;
    expect(canBeMade(room)).toBeLessThan(canBeMade(usual));
    expect(asked.removal?.asked).toMatchObject({ canBeMade: false, choice: { pitches: 18 } });
    expect(asked.removal?.asked?.stops.join(' ')).toMatch(/\d\u00a0in/);
    expect(usual.removal?.asked).toBeNull();
  });

  it.each([
    ['?repeats=1.5', 'repeats'],
    ['?targetTensionN=much', 'targetTensionN'],
    ['?handlingSlackMm=-1&coldContractionMm=x', 'coldContractionMm'],
    ['?units=furlongs', 'units'],
  ])('that is asked with %s is refused in a sentence', async (query, names) => {
    const response = await boss.ask('GET', `${PLAN}${query}`);
    expect(response.status).toBe(400);
    expect(((await response.json()) as { detail: string }).detail).toContain(names);
  });
});

describe('the tension around a loop over the web', () => {
  it('is told as a profile over the developed length, both ways, under every load', async () => {
    const answer = (await (await boss.ask('GET', LOOP)).json()) as LoopAnswer;
    const { loop } = answer;
    if (loop === null) throw new Error(answer.refused.join(' '));
    expect(loop.forwards.cases.map(({ load }) => load)).toEqual(['loaded', 'empty', 'climbs-loaded', 'declines-loaded']);
    for (const way of [loop.forwards, loop.backwards]) {
      for (const { points, drivePullN, tightN, slackN } of way.cases) {
        expect(points[0]?.atMm).toBeCloseTo(0, 6);
        expect(points.at(-1)?.atMm).toBeCloseTo(loop.lengthMm, 6);
        expect(points.every(({ atMm }, index) => index === 0 || atMm >= (points[index - 1]?.atMm ?? 0) - 1e-9)).toBe(true);
        expect(drivePullN).toBeCloseTo(tightN - slackN, 6);
      }
      expect(way.sentences.length).toBeGreaterThanOrEqual(3);
    }
    expect(loop.stretches.at(-1)?.toMm).toBeCloseTo(loop.lengthMm, 6);
  });

  it('of a conveyor without a path is refused with what is missing', async () => {
    const answer = (await (await boss.ask('GET', '/api/conveyors/enamel-bare/loop')).json()) as LoopAnswer;
    expect(answer.loop).toBeNull();
    expect(answer.refused[0]).toContain('path');
  });
});
