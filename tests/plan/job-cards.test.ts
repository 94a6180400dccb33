import { describe, expect, it } from 'vitest';
import { CAUTIONS } from '../../agent/plan/cautions.js';
import { type BlankKey, type CardLine, type JobCard, SECTION_KEYS, type SectionKey, type StepKey } from '../../agent/plan/job-card.js';
import { BLANK_LABELS, STEP_TEXTS, filledText } from '../../agent/plan/job-card-texts.js';
import { nutCard } from '../../agent/plan/nut-card.js';
import { nutsOfTakeup } from '../../agent/plan/nuts-of-takeup.js';
import { removalCard } from '../../agent/plan/removal-card.js';
import { planRemoval } from '../../agent/plan/removal-plan.js';
import type { UnitSystem } from '../../agent/units/display.js';
import { type PlantChange, plant, standing } from './plants.js';

const PLACE = {
  siteName: 'Alder Point Cookware',
  conveyorName: 'Enamel furnace line',
  takeupId: 'tu1',
  location: 'column C14, after the drive',
};
const SPRINGS = { springLeftMm: 285, springRightMm: 283 };

function shorten(pitches: number, change: PlantChange = {}, system: UnitSystem = 'metric'): JobCard {
  const here = plant({ chain: { connectorEveryPitches: 40 }, ...change });
  const state = standing(here, { positionMm: 210, elongationPct: 0.4, breathingMm: 4, ...SPRINGS });
  const plan = planRemoval(here.conveyor, here.takeup, state);
  const choice = plan.choices.find((one) => one.pitches === pitches);
  if (choice === undefined) throw new Error('there is such a choice');
  return removalCard({
    place: PLACE,
    takeup: here.takeup,
    state,
    plan,
    choice,
    minSpacingMm: here.conveyor.carriers?.minSpacingMm,
    system,
  });
}

function setNuts(): JobCard {
  const here = plant();
  const state = standing(here, { positionMm: 150, elongationPct: 0.3, ...SPRINGS });
  return nutCard({
    place: PLACE,
    plan: nutsOfTakeup(here.conveyor, here.takeup, state, { to: 'tension', tensionN: 900 }),
    system: 'metric',
  });
}

function linesOf(card: JobCard, key?: SectionKey): readonly CardLine[] {
  return card.sections.filter((section) => key === undefined || section.key === key).flatMap(({ lines }) => lines);
}

function stepsOf(card: JobCard, key?: SectionKey): readonly StepKey[] {
  return linesOf(card, key).flatMap((line) => (line.kind === 'step' ? [line.key] : []));
}

function blanksOf(card: JobCard, key?: SectionKey): readonly BlankKey[] {
  return linesOf(card, key).flatMap((line) => (line.kind === 'blank' ? [line.key] : []));
}

function step(card: JobCard, key: StepKey): string {
  const found = linesOf(card).find((line) => line.kind === 'step' && line.key === key);
  return found?.kind === 'step' ? found.text.replaceAll('\u00a0', ' ') : '';
}

describe('every job card', () => {
  const cards = [
    shorten(2),
    shorten(4),
    shorten(4, { carriers: null, chain: { connectorEveryPitches: 4 } }),
    shorten(2, { chain: {} }),
    setNuts(),
  ];

  it('begins with all cautions, and says first that this is not a safety device', () => {
    for (const card of cards) {
      const [first] = card.sections;
      expect(first?.key).toBe('cautions');
      expect(first?.lines).toEqual(CAUTIONS.map((caution) => ({ kind: 'caution', ...caution })));
    }
    expect(CAUTIONS[0]?.text).toContain('not a safety device');
    const said = CAUTIONS.map(({ text }) => text).join(' ');
    for (const word of [
      'Lock out',
      'stored in springs and chain',
      'without warning',
      'Guards',
      'hot-work permit',
      'high',
      'Two people',
      'local codes',
      'qualified person',
    ]) {
      expect(said).toContain(word);
    }
  });

  it('locks out, in the order of 29 CFR 1910.147(d), before anything is released, and leaves room for who and when', () => {
    for (const card of cards) {
      expect(stepsOf(card, 'lock-out')).toEqual(['open-service', 'prepare', 'shut-down', 'isolate', 'lock-and-tag', 'verify']);
      expect(blanksOf(card, 'lock-out')).toEqual(['locked-by', 'locked-at', 'verified-by']);
      const order = card.sections.map(({ key }) => SECTION_KEYS.indexOf(key));
      expect(order).toEqual([...order].sort((a, b) => a - b));
      expect(card.sections.findIndex(({ key }) => key === 'lock-out')).toBeLessThan(
        card.sections.findIndex(({ key }) => key === 'stored-energy'),
      );
    }
  });

  it('has the restraint nuts run out again, the guards back and the chain rocked before the start', () => {
    for (const card of cards) {
      const before = stepsOf(card, 'restart');
      expect(before).toEqual(expect.arrayContaining(['rock-check', 'restraint-nuts-out', 'guards-back', 'people-clear', 'unlock']));
      expect(before.indexOf('restraint-nuts-out')).toBeLessThan(before.indexOf('unlock'));
      expect(blanksOf(card, 'done')).toEqual(expect.arrayContaining(['done-restraint-nuts', 'done-rock', 'done-by', 'done-at']));
    }
  });

  it('asks each thing once, and leaves no figure open', () => {
    for (const card of cards) {
      expect(new Set(stepsOf(card)).size).toBe(stepsOf(card).length);
      expect(new Set(blanksOf(card)).size).toBe(blanksOf(card).length);
      expect(JSON.stringify(card)).not.toMatch(/[{]\w+[}]|NaN|undefined|Infinity/u);
    }
  });
});

describe('the card of a removal', () => {
  it('has the figures of this take-up in its steps, in order', () => {
    const card = shorten(4);
    expect(card.title).toBe('Shorten the chain by 4 pitches');
    expect(stepsOf(card, 'steps')).toEqual([
      'mark-stretch',
      'take-carriers-off',
      'part-with-pin',
      'take-out',
      'join',
      'unblock',
      'set-springs',
      'turn-left',
      'turn-right',
      'lock-nuts',
    ]);
    expect(step(card, 'mark-stretch')).toBe('Mark 4 pitches (304.8 mm as new, 306.0 mm worn as it is) to come out. Count twice.');
    expect(step(card, 'draw-in')).toBe(
      'Draw the carriage in by 191.1 mm: 153.0 mm for the chain that comes out, 38.1 mm to handle the ends. It can come in by 210.0 mm.',
    );
    expect(step(card, 'take-carriers-off')).toContain('Take off 1 carrier beside the mark: 914.4 mm is left');
    // 320 − 285 + 191.1 mm over a lead of 3 mm: 75.4 turns, and ⅔ of a turn more on the right.
    expect(step(card, 'release-springs')).toContain('about 75½ turns left, 76¼ turns right');
    expect(step(card, 'release-springs')).toContain('the coils touch after 133.0 mm of draw-in');
    // 250 mm is asked for; 285 − 153 mm is 118 mm shorter.
    expect(step(card, 'turn-left')).toBe('Left nut: back off 39¼ turns, counted from where it stood at the beginning.');
    expect(step(card, 'settled-check')).toContain('settled at about 57.0 mm. Each pitch more or less than planned is 38.3 mm of carriage');
  });

  it('speaks of hot work where a pin must be ground, and not where connectors come out', () => {
    expect(blanksOf(shorten(2), 'hot-work')).toEqual(['permit', 'fire-watch-by']);
    expect(stepsOf(shorten(2), 'hot-work')).toContain('fire-watch');
    const whole = shorten(4, { carriers: null, chain: { connectorEveryPitches: 4 } });
    expect(whole.sections.map(({ key }) => key)).not.toContain('hot-work');
    expect(stepsOf(whole, 'steps')).toContain('part-at-connectors');
    expect(stepsOf(shorten(2, { chain: {} }), 'steps')).toContain('part-at-joints');
  });

  it('asks for carriers only where there are some', () => {
    expect(blanksOf(shorten(2), 'done')).toContain('done-carriers');
    expect(blanksOf(shorten(2, { carriers: null }), 'done')).not.toContain('done-carriers');
    expect(stepsOf(shorten(2))).not.toContain('take-carriers-off');
  });

  it('sets the springs with a rule where the lead of the thread is not known', () => {
    const card = shorten(2, { takeup: { nutLeadMm: undefined } as PlantChange['takeup'] & object });
    expect(stepsOf(card)).toContain('release-springs-by-eye');
    expect(stepsOf(card)).not.toContain('turn-left');
    expect(step(card, 'set-springs')).toContain('250.0 mm long left and 250.0 mm right');
  });

  it('counts the stretch that is let go where the stiffness is known', () => {
    expect(step(shorten(2, { chain: { stiffnessKn: 9000 } }), 'draw-in')).toContain('as the chain shrinks when its tension is let go');
  });

  it('has the other take-ups of the chain held before it is let loose, and let go again', () => {
    const { takeup } = plant();
    const card = shorten(2, { others: [{ ...takeup, id: 'far-end', location: 'hall 3' }] });
    expect(stepsOf(card, 'stored-energy')[0]).toBe('block-others');
    expect(step(card, 'block-others')).toContain('run the restraint nuts in at far-end (hall 3) too');
    const steps = stepsOf(card, 'steps');
    expect(steps.indexOf('unblock-others')).toBe(steps.indexOf('unblock') + 1);
    expect(linesOf(card, 'job')).toContainEqual(expect.objectContaining({ label: 'On the same chain' }));
    expect(stepsOf(shorten(2))).not.toContain('block-others');
  });

  it('is in inches where the site is', () => {
    const card = shorten(2, {}, 'imperial');
    expect(step(card, 'mark-stretch')).toContain('6.00 in as new');
    expect(linesOf(card, 'found').flatMap((line) => (line.kind === 'blank' ? [line.unit] : []))).toEqual([
      'in',
      'in',
      'in',
      'in',
      undefined,
    ]);
  });
});

describe('the card of a nut adjustment', () => {
  it('keeps the chain closed and warns of springs under load', () => {
    const card = setNuts();
    expect(card.title).toBe('Set the adjusting nuts');
    expect(stepsOf(card, 'stored-energy')).toEqual(['springs-under-load']);
    expect(stepsOf(card, 'steps')).toEqual(['set-springs-only', 'turn-left', 'turn-right', 'lock-nuts']);
    expect(step(card, 'turn-left')).toContain('tighten 5 turns');
    expect(step(card, 'turn-right')).toContain('tighten 4¼ turns');
    expect(stepsOf(card)).not.toContain('take-out');
  });
});

describe('the texts of the cards', () => {
  it('end as sentences do, and every blank has a label', () => {
    for (const text of Object.values(STEP_TEXTS)) expect(text).toMatch(/[.?]$/u);
    for (const label of Object.values(BLANK_LABELS)) expect(label).not.toBe('');
  });

  it('are never printed with a figure missing', () => {
    expect(() => filledText('Draw in by {drawIn}.', {})).toThrow('drawIn');
  });
});
