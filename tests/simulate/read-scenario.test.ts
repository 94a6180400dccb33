import { describe, expect, it } from 'vitest';
import { readScenario } from '../../agent/simulate/read-scenario.js';
import type { ConveyorScenario } from '../../agent/simulate/scenario.js';
import { DAY_MS, siteWith, START_MS } from './quiet-plant.js';

const site = siteWith({ conveyor: { zones: [{ id: 'oven', length_mm: 50_000, reference_c: 150, temperature: {} }] } });
const span = { fromMs: START_MS, toMs: START_MS + 10 * DAY_MS };

function conveyorOf(json: unknown): ConveyorScenario {
  const reading = readScenario(json, site, span);
  if (!reading.ok) throw new Error(reading.faults.join('\n'));
  return reading.scenario.conveyors['c']!;
}

function faultsOf(part: unknown): readonly string[] {
  const reading = readScenario({ conveyors: { c: part } }, site, span);
  return reading.ok ? [] : reading.faults;
}

describe('a scenario as a person writes it', () => {
  it('is the healthy one where nothing is said', () => {
    expect(conveyorOf({})).toEqual(conveyorOf({ preset: 'healthy' }));
  });

  it('puts what differs over what is usual, and leaves the rest', () => {
    const usual = conveyorOf({});
    const c = {
      speed_m_per_min: 7,
      wear: { pct_per_1000_hours: 0.2 },
      heat: { oven: { work_c: 180 } },
      sensors: { resolution_m_per_min: 0.5 },
      shifts: { stops_per_hour: 0, week: [[[0, 1440]], [], [], [], [], [], []] },
    };
    expect(conveyorOf({ conveyors: { c } })).toEqual({
      ...usual,
      speedMPerMin: 7,
      wear: { ...usual.wear, pctPer1000Hours: 0.2 },
      heat: { oven: { ...usual.heat['oven'], workC: 180 } },
      sensors: { ...usual.sensors, resolutionMPerMin: 0.5 },
      shifts: { ...usual.shifts, stopsPerHour: 0, week: [[[0, 1440]], [], [], [], [], [], []] },
    });
  });

  it('takes times as text, or as days since the start', () => {
    const troubles = [
      { kind: 'gap', from: '2026-03-03T12:00:00Z', to: 2 },
      { kind: 'wear-fast', from: 4, times: 2 },
    ];
    expect(conveyorOf({ conveyors: { c: { troubles } } }).troubles).toEqual([
      { kind: 'gap', fromMs: START_MS + 1.5 * DAY_MS, toMs: START_MS + 2 * DAY_MS },
      { kind: 'wear-fast', fromMs: START_MS + 4 * DAY_MS, toMs: span.toMs, times: 2 },
    ]);
  });

  it('takes work in the words of the service log, with how it is recorded', () => {
    const works = [
      { at: 1, do: { kind: 'chain-removed', pitches: 2 }, record: 'never' },
      { at: 2, do: { kind: 'nut-turned', side: 'left', turns: 3 }, record: { late_min: 90 } },
      { at: 3, do: { kind: 'chain-removed', pitches: 2 }, record: { wrong_pitches: 4, corrected_after_min: 60 } },
    ];
    expect(conveyorOf({ conveyors: { c: { works } } }).works).toEqual([
      { entry: { timeMs: START_MS + DAY_MS, conveyor: 'c', kind: 'chain-removed', pitches: 2 }, record: { how: 'never' } },
      {
        entry: { timeMs: START_MS + 2 * DAY_MS, conveyor: 'c', takeup: 'tu1', kind: 'nut-turned', side: 'left', turns: 3 },
        record: { how: 'late', byMs: 5_400_000 },
      },
      {
        entry: { timeMs: START_MS + 3 * DAY_MS, conveyor: 'c', kind: 'chain-removed', pitches: 2 },
        record: { how: 'wrongly', pitches: 4, correctedAfterMs: 3_600_000 },
      },
    ]);
  });

  it('takes waves of the to-and-fro, and stretches in which the conveyor runs or stands', () => {
    const c = {
      breathing: {
        waves: [
          { mm: 2, rounds_of_loop: 3 },
          { mm: 0.1, chain_mm: 100 },
        ],
      },
      shifts: { forced: [{ from: 1, to: 2, running: false }] },
    };
    const { breathing, shifts } = conveyorOf({ conveyors: { c } });
    expect(breathing.waves).toEqual([
      { mm: 2, per: { roundOfLoop: 3 } },
      { mm: 0.1, per: { chainMm: 100 } },
    ]);
    expect(shifts.forced).toEqual([{ fromMs: START_MS + DAY_MS, toMs: START_MS + 2 * DAY_MS, running: false }]);
  });

  it('adds to what a preset does', () => {
    const troubles = [{ kind: 'gap', from: 1, to: 2 }];
    const kinds = conveyorOf({ preset: 'chain-slack', conveyors: { c: { troubles } } }).troubles.map(({ kind }) => kind);
    expect(kinds).toEqual(['chain-slack', 'gap']);
  });
});

describe('a scenario with faults', () => {
  it.each([
    ['a key that there is not', { waer: {} }, 'conveyors.c.waer: there is no such key; perhaps wear was meant'],
    ['one deeper down', { wear: { pct_per_1000_hour: 1 } }, 'perhaps pct_per_1000_hours was meant'],
    ['a zone that there is not', { heat: { ovn: {} } }, 'conveyors.c.heat.ovn: there is no such key; perhaps oven was meant'],
    ['text for a number', { speed_m_per_min: 'fast' }, 'conveyors.c.speed_m_per_min is "fast"; it must be a number'],
    ['a time constant of nothing', { breathing: { relax_s: 0 } }, 'conveyors.c.breathing.relax_s is 0; it must be above 0'],
    ['a week of six days', { shifts: { week: [[], [], [], [], [], []] } }, 'must have seven days'],
    ['a shift that ends before it begins', { shifts: { week: [[[600, 300]], [], [], [], [], [], []] } }, 'conveyors.c.shifts.week[0]'],
    ['a trouble of no kind', { troubles: [{ kind: 'chain-cauhgt', from: 1 }] }, 'perhaps chain-caught was meant'],
    ['a signal that there is not', { troubles: [{ kind: 'sensor-flat', from: 1, signal: 'c/tu1/left/postion' }] }, 'c/tu1/left/position'],
    ['a trouble that ends before it begins', { troubles: [{ kind: 'gap', from: 3, to: 2 }] }, 'to must come after from'],
    ['a trouble without a time', { troubles: [{ kind: 'gap' }] }, 'conveyors.c.troubles[0]: from must be a time'],
    ['work that is none', { works: [{ at: 1, do: { kind: 'correction', replaces: 'x' } }] }, 'conveyors.c.works[0]: do:'],
    ['work that the log would refuse', { works: [{ at: 1, do: { kind: 'nut-turned', side: 'top', turns: 1 } }] }, 'side is "top"'],
    ['a list that is none', { works: {} }, 'conveyors.c.works must be a list'],
  ])('says of %s where it is and what is wrong', (_, part, said) => {
    expect(faultsOf(part).join('\n')).toContain(said);
  });

  it('says all of them at once', () => {
    expect(faultsOf({ waer: {}, speed_m_per_min: 'fast', works: {} })).toHaveLength(3);
  });

  it('says of a preset or conveyor that there is not what was meant', () => {
    expect(readScenario({ preset: 'helthy' }, site, span)).toEqual({
      ok: false,
      faults: ['preset: there is no scenario "helthy"; perhaps healthy was meant'],
    });
    expect(readScenario({ conveyors: { d: {} } }, site, span)).toMatchObject({ ok: false });
    expect(readScenario([], site, span)).toMatchObject({ ok: false });
    expect(readScenario({ transport: { lost_share: 2 } }, site, span)).toEqual({
      ok: false,
      faults: ['transport.lost_share is 2; it must be from 0 to 1'],
    });
  });
});
