import { describe, expect, it } from 'vitest';
import type { RemovalPlan } from '../../../../agent/plan/removal-plan.js';
import type { UnitSystem } from '../../../../agent/units/display.js';
import { choiceRows } from '../../../../web/client/logic/choice-rows.js';
import { planWith } from './a-plan.js';

/** What a row says of a choice, as people read it. */
function said(plan: RemovalPlan, label: string, pitches: number, system: UnitSystem = 'metric') {
  const row = choiceRows(plan, plan.choices, system).find((one) => one.label === label);
  const choice = plan.choices.find((one) => one.pitches === pitches);
  if (row === undefined || choice === undefined) throw new Error(`no row ${label} of ${String(pitches)} pitches`);
  const { text, note, bad } = row.cell(choice);
  return { text: plain(text), note: plain(note ?? ''), bad: bad ?? false };
}

const plain = (text: string): string => text.replaceAll('\u00a0', ' ');

describe('removals side by side', () => {
  // mechanics §8, common practice: 18 in less 6 in is 12 in, below the least of 18 in; so one carrier comes off and 30 in are left.
  it('say what comes out, how far the carriage comes in, and what is left between the carriers', () => {
    const { plan } = planWith({ carriers: { spacingMm: 457.2, minSpacingMm: 457.2 } });
    expect(said(plan, 'Length that comes out', 2)).toMatchObject({ text: '152.4 mm', note: 'as new; 153.0 mm worn as it is' });
    expect(said(plan, 'Carriage afterwards', 2).text).toBe('133.5 mm');
    expect(said(plan, 'Carriers', 2)).toMatchObject({ text: '1 carrier off', note: '762.0 mm left between' });
    expect(said(plan, 'Carriers', 2, 'imperial').note).toBe('30.00 in left between');
    expect(said(plan, 'Travel regained', 2)).toMatchObject({ text: '76.5 mm', note: 'about 153 days' });
  });

  it('say the turns of each nut in quarters', () => {
    const { plan } = planWith();
    for (const side of ['Left', 'Right'])
      expect(said(plan, `${side} spring and nut`, 2).note).toMatch(/^(tighten|back off) \d*[¼½¾]? ?turns?$/);
  });

  it('mark the limit that is not kept, and no other', () => {
    const { plan } = planWith();
    const last = plan.choices.at(-1);
    expect(last?.stops.length).toBeGreaterThan(0);
    expect(said(plan, 'Can be made', last?.pitches ?? 0).bad).toBe(true);
    expect(said(plan, 'Can be made', 2)).toEqual({ text: 'yes', note: '', bad: false });
    const bad = choiceRows(plan, plan.choices, 'metric').filter(({ cell }) => cell(plan.choices[0] as never).bad === true);
    expect(bad).toEqual([]);
  });

  it('do not make up days where the wear is not known as a rate, nor turns where the thread is not', () => {
    const { plan } = planWith({}, { travelMmPerDay: undefined });
    expect(said(plan, 'Travel regained', 2).note).toBe('days not known');
    const unknown = planWith({ takeup: { nutLeadMm: undefined } as never });
    expect(said(unknown.plan, 'Left spring and nut', 2).note).toBe('set by rule');
  });

  it('leave carriers out where there are none', () => {
    const { plan } = planWith({ carriers: null });
    expect(choiceRows(plan, plan.choices, 'metric').map(({ label }) => label)).not.toContain('Carriers');
  });
});
