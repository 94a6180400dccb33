import { describe, expect, it } from 'vitest';
import type { FindingOutput } from '../agent/flow/output.js';
import { HOUR_MS, readings, run, served, sides, type TestInput } from './flow/way/run.js';
import { side, START_MS, testSite } from './flow/way/test-site.js';

const STOPPED_MS = START_MS + 6 * HOUR_MS;
const END_MS = START_MS + 14 * HOUR_MS;

/** A line that stands for an hour, in which two pitches are taken out: 76.2 mm inwards, and nobody writes it down. */
const site = testSite({ conveyor: { signals: { running: { period_s: 10 } } } });
const shortened = readings(START_MS, END_MS, 10, (timeMs) => {
  const stands = timeMs >= STOPPED_MS && timeMs < STOPPED_MS + HOUR_MS;
  const breathing = stands ? 0 : Math.sin(timeMs / 17_000);
  return { 'line/running': stands ? 0 : 1, ...sides(120 - (timeMs < STOPPED_MS + HOUR_MS / 2 ? 0 : 76.2) + breathing) };
});
const removal = (findings: readonly FindingOutput[]) => findings.filter(({ finding }) => finding === 'chain-removed');
const rejecting = (id: string, atMs: number): TestInput => ({
  kind: 'reject-finding',
  timeMs: atMs,
  conveyor: 'line',
  finding: id,
  by: 'Mona',
});

describe('a finding that suggests a removal', () => {
  const [open] = removal(run(site, shortened).findings);

  it('is open until somebody says what it was', () => {
    expect(open).toMatchObject({ suggestion: { kind: 'chain-removed', pitches: 2 } });
    expect(open).not.toHaveProperty('state');
  });

  it('is explained by the entry that confirms it, and clears its alarm', () => {
    const told = run(site, [...shortened, served(site, STOPPED_MS + HOUR_MS / 2, { kind: 'chain-removed', pitches: 2 })]);
    expect(removal(told.findings)).toMatchObject([{ state: 'explained' }]);
    expect(removal(told.findings)[0]).not.toHaveProperty('suggestion');
    expect(told.alarms.filter(({ alarm }) => alarm === 'change-unrecorded')).toEqual([]);
  });

  it('that is rejected suggests nothing more, says by whom, and stays unexplained', () => {
    const told = run(site, [...shortened, rejecting(open?.id ?? '', END_MS)]);
    expect(removal(told.findings)).toMatchObject([{ state: 'rejected', by: 'Mona' }]);
    expect(told.pipeline.ways[0]?.account.ledger.unexplained).toHaveLength(1);
    expect(told.pipeline.ways[0]?.account.steps.mayReject(open?.id ?? '')).toBe(false);
  });

  it('keeps what a person said of it through a restart', () => {
    const told = run(site, [...shortened, rejecting(open?.id ?? '', END_MS)]);
    expect(JSON.parse(JSON.stringify(told.pipeline.save()))).toMatchObject({
      ways: { line: { account: { steps: { known: { [open?.id ?? '']: { by: 'Mona' } } } } } },
    });
  });
});

describe('a finding that a nut was turned', () => {
  const measured = testSite({ takeup: { sides: { left: side({ spring: { period_s: 10 } }), right: side() } } });
  const turnedMs = START_MS + 8 * HOUR_MS;
  const turned = readings(START_MS, START_MS + 16 * HOUR_MS, 10, (timeMs) => {
    const mm = 60 + Math.sin(timeMs / 17_000);
    return { ...sides(mm), 'line/tu1/left/spring': 160 + mm - (timeMs < turnedMs ? 0 : 6) };
  });
  const nut = (findings: readonly FindingOutput[]) => findings.filter(({ finding }) => finding === 'nut-turned');
  const [open] = nut(run(measured, turned).findings);

  it('is closed by the entry of that side that comes later, or by a person', () => {
    expect(open).toMatchObject({ suggestion: { kind: 'nut-turned', side: 'left' } });
    const late = START_MS + 15 * HOUR_MS;
    const entry = served(measured, late, { kind: 'nut-turned', takeup: 'tu1', side: 'left', spring_mm: 214 });
    expect(nut(run(measured, [...turned, entry]).findings)).toMatchObject([{ state: 'explained' }]);
    expect(nut(run(measured, [...turned, rejecting(open?.id ?? '', late)]).findings)).toMatchObject([{ state: 'rejected', by: 'Mona' }]);
  });
});
