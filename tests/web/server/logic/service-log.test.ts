import { describe, expect, it } from 'vitest';
import type { FindingOutput } from '../../../../agent/flow/output.js';
import type { LoggedEntry } from '../../../../agent/store/history.js';
import {
  confirmationOf,
  confirmingId,
  findingsOf,
  logOfTakeup,
  openFindings,
  serviceLog,
} from '../../../../web/server/logic/service-log.js';

const REMOVED = { time: '2026-03-02T07:00:00Z', conveyor: 'line1', kind: 'chain-removed', pitches: 4, id: 'a', by: 'kari' };
const NOTED = { time: '2026-03-03T07:00:00Z', conveyor: 'line1', takeup: 'tu2', kind: 'note', text: 'guard is bent', id: 'b', by: 'ola' };

/** An entry as the store has it. */
function logged(body: Readonly<Record<string, unknown>>, takenMs = 0): LoggedEntry {
  const { id, time, conveyor, takeup, kind } = body as { id: string; time: string; conveyor?: string; takeup?: string; kind: 'note' };
  const timeMs = Date.parse(time);
  return {
    id,
    timeMs,
    takenMs,
    conveyor: conveyor ?? '',
    ...(takeup === undefined ? {} : { takeup }),
    kind,
    body,
  };
}

const correction = (fields: Readonly<Record<string, unknown>>) =>
  logged({ time: '2026-03-04T07:00:00Z', kind: 'correction', replaces: 'a', id: 'c', by: 'mona', ...fields });

const finding = (different: Partial<FindingOutput> = {}): FindingOutput => ({
  ...{ kind: 'finding', id: 'f1', timeMs: 1, fromMs: 0, toMs: 1, conveyor: 'line1', takeup: 'tu1', finding: 'chain-removed', moveMm: -76 },
  ...{ text: 'The carriage moved.', suggestion: { time: '2026-03-02T07:00:00Z', conveyor: 'line1', kind: 'chain-removed', pitches: 2 } },
  ...different,
});

describe('the service log', () => {
  it('has the latest work first, with who did it', () => {
    expect(serviceLog([logged(REMOVED), logged(NOTED)]).map(({ id, by, state }) => [id, by, state])).toEqual([
      ['b', 'ola', undefined],
      ['a', 'kari', undefined],
    ]);
  });

  it('shows an entry as it was corrected, that it was, and by whom; the correction is no line of its own', () => {
    const log = serviceLog([logged(REMOVED), correction({ pitches: 6, at: '2026-03-01T07:00:00Z' })]);
    expect(log).toHaveLength(1);
    expect(log[0]).toMatchObject({ by: 'kari', state: 'corrected', changedBy: 'mona', timeMs: Date.parse('2026-03-01T07:00:00Z') });
    expect(log[0]?.entry).toMatchObject({ kind: 'chain-removed', pitches: 6 });
  });

  it('keeps an entry that was struck out in sight, as struck out', () => {
    const [entry] = serviceLog([logged(REMOVED), correction({ withdraw: true })]);
    expect(entry).toMatchObject({ state: 'withdrawn', changedBy: 'mona', entry: { pitches: 4 } });
  });

  it('does not call an entry corrected by a correction that does not apply', () => {
    const [entry] = serviceLog([logged(REMOVED), correction({ pitches: -1 })]);
    expect(entry).toMatchObject({ entry: { pitches: 4 } });
    expect(entry?.state).toBeUndefined();
  });

  it('of a take-up has its own work and that on the whole chain, not that of the take-up beside it', () => {
    const log = serviceLog([logged(REMOVED), logged(NOTED)]);
    expect(logOfTakeup(log, 'line1', 'tu1').map(({ id }) => id)).toEqual(['a']);
    expect(logOfTakeup(log, 'line1', 'tu2').map(({ id }) => id)).toEqual(['b', 'a']);
    expect(logOfTakeup(log, 'line2', 'tu1')).toEqual([]);
  });
});

describe('a finding and the entry that confirms it', () => {
  const confirmed = logged({ ...REMOVED, id: 'confirmed-f1-1' });
  const struckOut = correction({ replaces: 'confirmed-f1-1', withdraw: true });

  it('goes by one name, so that two people record it once', () => {
    expect(confirmingId('f1', [])).toBe('confirmed-f1-1');
    expect(confirmationOf('f1', serviceLog([confirmed]))?.by).toBe('kari');
  });

  it('is not mixed up with that of a finding whose name begins alike', () => {
    expect(confirmationOf('f', serviceLog([confirmed]))).toBeUndefined();
  });

  it('may be recorded anew after it was struck out', () => {
    const log = serviceLog([confirmed, struckOut]);
    expect(confirmationOf('f1', log)).toBeUndefined();
    expect(confirmingId('f1', log)).toBe('confirmed-f1-2');
  });

  it('is open until an entry accounts for it or somebody says that it is not so', () => {
    const states = (findings: readonly FindingOutput[], entries: readonly LoggedEntry[] = []) =>
      findingsOf(findings, serviceLog(entries)).map(({ state, by }) => [state, by]);
    expect(states([finding()])).toEqual([['open', undefined]]);
    expect(states([finding({ state: 'explained' })])).toEqual([['explained', undefined]]);
    expect(states([finding({ state: 'rejected', by: 'ola' })])).toEqual([['rejected', 'ola']]);
    expect(states([finding()], [confirmed])).toEqual([['explained', 'kari']]);
    expect(states([finding()], [confirmed, struckOut])).toEqual([['open', undefined]]);
  });
});

describe('findings that wait for a person', () => {
  const DAY_MS = 86_400_000;
  const openAt = (nowMs: number, ...findings: Partial<FindingOutput>[]) =>
    openFindings(findingsOf(findings.map(finding), []), nowMs).map(({ id }) => id);

  it('are moves that nothing accounts for, however long ago', () => {
    expect(openAt(900 * DAY_MS, { id: 'a' }, { id: 'b', finding: 'step-unexplained' }, { id: 'c', state: 'explained' })).toEqual([
      'a',
      'b',
    ]);
    expect(openAt(900 * DAY_MS, { id: 'd', state: 'rejected' })).toEqual([]);
  });

  it('and of what goes on by itself that of the last month', () => {
    const stuck = { finding: 'carriage-stuck', toMs: 100 * DAY_MS } as const;
    expect(openAt(120 * DAY_MS, { id: 'a', ...stuck })).toEqual(['a']);
    expect(openAt(140 * DAY_MS, { id: 'a', ...stuck })).toEqual([]);
  });
});
