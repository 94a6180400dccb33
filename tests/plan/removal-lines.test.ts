import { describe, expect, it } from 'vitest';
import { choicesWorthShowing } from '../../agent/plan/choices-worth-showing.js';
import { removalLines } from '../../agent/plan/removal-lines.js';
import { type RemovalPlan, type RemovalWish, planRemoval } from '../../agent/plan/removal-plan.js';
import { helpSentence, stopSentence } from '../../agent/plan/removal-words.js';
import type { GivenFigures } from '../../agent/plan/takeup-state.js';
import { type PlantChange, plant, standing } from './plants.js';

const GIVEN = { positionMm: 210, elongationPct: 0.4, breathingMm: 4, springLeftMm: 285, springRightMm: 285, travelMmPerDay: 0.5 };

function planned(change: PlantChange = {}, given: GivenFigures = {}, wish: RemovalWish = {}): RemovalPlan {
  const here = plant(change);
  return planRemoval(here.conveyor, here.takeup, standing(here, { ...GIVEN, ...given }), wish);
}

function row(lines: readonly string[], label: string): readonly string[] {
  return (lines.find((line) => line.startsWith(label)) ?? '')
    .slice(label.length)
    .trim()
    .split(/\s{2,}/u);
}

describe('a removal plan on a terminal', () => {
  const lines = removalLines(planned(), ['no-heat'], 'metric');

  it('sets the choices side by side, the recommended one marked with its reason', () => {
    expect(row(lines, 'take out')).toEqual(['2 pitches *', '4 pitches', '6 pitches']);
    expect(row(lines, 'carriage after')).toEqual(['133.5 mm', '57.0 mm', '−19.5 mm']);
    expect(row(lines, 'can be made')).toEqual(['yes', 'yes', 'no: too near the inner stop']);
    expect(row(lines, 'carriers off')).toEqual(['0', '1', '1']);
    expect(row(lines, 'nuts left / right')).toEqual(['−13¾ / −13¾', '−39¼ / −39¼', '−64¾ / −64¾']);
    expect(row(lines, 'days gained')).toEqual(['153', '306', '459']);
    expect(lines).toContain('* Recommended: 2 pitches, because it keeps every carrier on the chain, and a longer one would not.');
  });

  it('says what was taken for granted, and the cautions', () => {
    expect(lines).toContain('- The chain is taken to be at its reference temperature.');
    expect(lines.join('\n')).toContain('not a safety device');
    expect(removalLines(planned(), [], 'metric')).not.toContain('Taken for granted:');
  });

  it('is in inches and pounds where the site is', () => {
    const imperial = removalLines(planned(), [], 'imperial');
    expect(row(imperial, 'carriage after')).toEqual(['5.26 in', '2.24 in', '−0.77 in']);
    expect(imperial.join('\n')).toContain('a strand tension of 283 lbf');
  });

  it('leaves carriers out where there are none, and shows where another tension moves the carriage', () => {
    const other = removalLines(planned({ carriers: null, chain: { stiffnessKn: 9000 } }), [], 'metric');
    expect(other.some((line) => line.startsWith('carriers off'))).toBe(false);
    expect(row(other, '  at the new tension')).toHaveLength(3);
    expect(lines.some((line) => line.startsWith('  at the new tension'))).toBe(false);
  });

  it('says why none is recommended, what stops it and what helps', () => {
    const stopped = removalLines(planned({}, { positionMm: 60 }), [], 'metric').join('\n');
    expect(stopped).toContain('No removal can be made as the take-up stands now.');
    expect(stopped).toContain('would bring the carriage 16.5 mm beyond its inner stop, and 4.0 mm must stay free inwards.');
    expect(stopped).toContain('once the carriage has come out to 114.6 mm, in about 110 days at the present wear.');
    expect(removalLines(planned({}, { elongationPct: 2.4 }), [], 'metric').join('\n')).toContain('Replace the chain');
  });

  it('says so where every removal takes a carrier off, and where the nuts are not good', () => {
    const tight = planned({ carriers: { spacingMm: 457.2, minSpacingMm: 457.2 }, takeup: { strokeMm: 230 } }, {}, { targetTensionN: 2900 });
    const said = removalLines(tight, [], 'metric').join('\n');
    expect(said).toContain('every removal takes a carrier off');
    expect(said).toContain(
      'Both sides: The spring would be shorter than its shortest usable length: these springs give 2844 N of strand tension at most.',
    );
  });

  it('says what another take-up of the chain does meanwhile', () => {
    const { takeup } = plant();
    const others = [{ ...takeup, id: 'tu2', location: 'hall 3' }];
    const saidAt = (targetTensionN: number) => removalLines(planned({ others }, {}, { targetTensionN }), [], 'metric');
    expect(saidAt(630)).toContain('The other take-up of this chain, tu2 (hall 3), stays where it is: the tension is the same afterwards.');
    expect(saidAt(900).join('\n')).toContain('tu2 (hall 3), comes in by 15.0 mm as the tension rises, its nuts left alone');
    expect(row(saidAt(600), 'tu2 moves by')[0]).toBe('1.7 mm');
  });
});

describe('more choices than fit', () => {
  const long = planned({ takeup: { strokeMm: 1200 }, chain: { repeatPitches: 1 } }, { positionMm: 1150 });

  it('are thinned, with those that matter kept', () => {
    const shown = choicesWorthShowing(long, 6);
    expect(shown).toHaveLength(6);
    const pitches = shown.map((choice) => choice.pitches);
    expect(pitches).toEqual([...pitches].sort((a, b) => a - b));
    expect(pitches).toEqual(expect.arrayContaining([1, long.recommended?.pitches, long.choices.length - 1, long.choices.length]));
    expect(removalLines(long, [], 'metric')).toContain(`(${String(long.choices.length - 6)} more lengths lie between these)`);
  });

  it('are all shown where they fit', () => {
    expect(choicesWorthShowing(planned(), 6)).toEqual(planned().choices);
  });
});

describe('what stops and what helps', () => {
  it('is told in a sentence each, with its figures', () => {
    const plan = planned();
    const [choice] = plan.choices;
    if (choice === undefined) throw new Error('there is a choice');
    const stops = (['draw-in', 'carrier-spacing', 'carriers-run-out', 'chain-runs-out'] as const).map((stop) =>
      stopSentence(stop, choice, plan, 'metric'),
    );
    for (const said of stops) expect(said).toMatch(/^Taking out 2 pitches .+\.$/u);
    const helps = [
      helpSentence({ help: 'handle-with-less-slack', slackMm: 20 }, 'metric'),
      helpSentence({ help: 'take-carriers-off', off: 2 }, 'metric'),
      helpSentence({ help: 'take-out-in-places', places: 3 }, 'metric'),
      helpSentence({ help: 'stroke-too-short-for-repeat', neededMm: 300, strokeMm: 230 }, 'metric'),
      helpSentence({ help: 'replace-the-chain' }, 'metric'),
    ];
    expect(helps.map((said) => said.replaceAll('\u00a0', ' '))).toEqual([
      'With 20.0 mm of loose chain to handle the ends, or less, the stroke would do.',
      'Allow 2 carriers to come off.',
      'Take it out in 3 places, a part from a gap in each: every carrier stays.',
      expect.stringContaining('The stroke of 230.0 mm never has the 300.0 mm'),
      'Replace the chain.',
    ]);
  });
});
