import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, test } from 'vitest';
import { planCommand } from '../../agent/commands/plan.js';

const GOOD = 'fixtures/sites/good/full.yaml';
const TWO = 'fixtures/sites/good/two-takeups.yaml';
const STANDING = ['--position', '210', '--elongation', '0.4'];
const SPRINGS = ['--spring-left', '285', '--spring-right', '285'];

async function plan(...args: string[]): Promise<{ code: number; out: string[]; err: string[] }> {
  const out: string[] = [];
  const err: string[] = [];
  const code = await planCommand.run(args, { out: (line) => out.push(line), err: (line) => err.push(line) });
  return { code, out, err };
}

describe('takeline plan', () => {
  let folder = '';
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'takeline-plan-'));
  });
  afterAll(() => {
    rmSync(folder, { recursive: true });
  });

  function summary(change: Readonly<Record<string, unknown>> = {}): string {
    const path = join(folder, `${Object.keys(change).join('-')}summary.json`);
    const takeup = {
      conveyor: 'enamel',
      takeup: 'tu1',
      positionMm: 210,
      breathingMm: 4,
      chain: { pitches: 3196, elongationPct: 0.5, thermalMm: 10, provisional: false },
      spring: { leftMm: 280, rightMm: 281 },
      trend: { travelMmPerDay: 0.4 },
      ...change,
    };
    writeFileSync(path, JSON.stringify({ site: 'alder-point', recording: {}, takeups: [takeup] }));
    return path;
  }

  it('prints the choices side by side and the recommended one with its reason', async () => {
    const { code, out, err } = await plan(
      GOOD,
      '--conveyor',
      'enamel',
      '--takeup',
      'tu1',
      ...STANDING,
      ...SPRINGS,
      '--travel-per-day',
      '0.5',
      '--breathing',
      '4',
    );
    expect({ code, err }).toEqual({ code: 0, err: [] });
    expect(out[0]).toBe('Enamel furnace line, take-up tu1 (column C14, after the drive)');
    expect(
      out
        .find((line) => line.startsWith('take out'))
        ?.trim()
        .split(/\s{2,}/u),
    ).toEqual(['take out', '2 pitches *', '4 pitches', '6 pitches']);
    expect(out.find((line) => line.startsWith('* Recommended'))).toMatch(/^\* Recommended: 2 pitches, because it keeps every carrier/u);
    expect(out.join('\n')).toContain('A qualified person decides');
  });

  it('gives the whole plan as JSON, in mm and N', async () => {
    const { code, out } = await plan(
      GOOD,
      ...STANDING,
      ...SPRINGS,
      '--pitches',
      '3190',
      '--slack',
      '0',
      '--target-tension',
      '900',
      '--cold',
      '7',
      '--json',
    );
    expect(code).toBe(0);
    const whole = JSON.parse(out.join('\n')) as { readonly plan: { readonly choices: readonly unknown[] } };
    expect(whole).toMatchObject({
      site: 'alder-point',
      conveyor: 'enamel',
      takeup: 'tu1',
      plan: { pitches: 3190, targetTensionN: 900, handlingSlackMm: 0, excess: { coldContractionMm: 7 }, recommended: { pitches: 2 } },
    });
    expect(whole.plan.choices[0]).toMatchObject({ pitches: 2, carriageAfterMm: 133.4952, stops: [] });
  });

  it('takes the state from the summary of a replay, and what is given beside it goes before it', async () => {
    const { code, out } = await plan(GOOD, '--summary', summary(), '--json');
    expect(code).toBe(0);
    expect(JSON.parse(out.join('\n'))).toMatchObject({
      assumed: [],
      plan: { positionMm: 210, pitches: 3196, elongation: 0.005, excess: { breathingMm: 4, coldContractionMm: 4.01981 } },
    });
    const other = await plan(GOOD, '--summary', summary(), '--position', '190', '--json');
    expect(JSON.parse(other.out.join('\n'))).toMatchObject({ plan: { positionMm: 190, pitches: 3196 } });
  });

  it('plans even where no removal can be made, and says what stops it', async () => {
    const { code, out } = await plan(GOOD, '--position', '20', '--elongation', '0.4');
    expect(code).toBe(0);
    expect(out.join('\n')).toContain('No removal can be made as the take-up stands now.');
    const kept = await plan(GOOD, '--position', '210', '--elongation', '0.4', '--keep-carriers');
    expect(kept.out.find((line) => line.startsWith('can be made'))).toMatch(/yes\s+no: a carrier must stay$/u);
  });

  it('ends with 1 and the reason on bad input', async () => {
    const lost = summary({ positionMm: null });
    const broken = join(folder, 'broken.json');
    writeFileSync(broken, '{');
    for (const [args, said] of [
      [[join(folder, 'gone.yaml'), ...STANDING], 'there is no such file'],
      [['fixtures/sites/refused/unknown-key.yaml', ...STANDING], 'there is no such key'],
      [[GOOD, '--conveyor', 'enamle', ...STANDING], 'there is no conveyor enamle; perhaps enamel was meant'],
      [[GOOD, '--takeup', 'x', ...STANDING], 'there is no take-up x; there are tu1'],
      [[TWO, ...STANDING], 'which take-up? give --takeup with one of drive-end, far-end'],
      [[GOOD, '--position', '231', '--elongation', '0.4'], 'cannot stand at 231.0 mm of a stroke of 230.0 mm'],
      [[GOOD, '--summary', lost], 'the position of the carriage is not known'],
      [[GOOD, '--summary', join(folder, 'none.json')], 'there is no such file; give the summary.json of a replay'],
      [[GOOD, '--summary', broken], 'this is not JSON'],
      [['fixtures/sites/good/minimal.yaml', '--summary', summary()], 'this summary is of the site alder-point'],
    ] as const) {
      const { code, out, err } = await plan(...args);
      expect({ code, out, said: args }).toEqual({ code: 1, out: [], said: args });
      expect(err.join('\n')).toContain(said);
    }
  });

  test.each([
    [[]],
    [[GOOD, 'other.yaml', ...STANDING]],
    [[GOOD]],
    [[GOOD, '--position', '210']],
    [[GOOD, '--position', 'far', '--elongation', '0.4']],
    [[GOOD, '--position', '2e2', '--elongation', '0.4']],
    [[GOOD, ...STANDING, '--target-tension', '0']],
    [[GOOD, ...STANDING, '--slack=-3']],
    [[GOOD, ...STANDING, '--links', '3']],
  ])('ends with 2 on wrong usage: %j', async (args) => {
    const { code, out, err } = await plan(...args);
    expect({ code, out }).toEqual({ code: 2, out: [] });
    expect(err).toHaveLength(2);
    expect(err[1]).toContain('takeline plan SITE');
  });

  it('explains itself', async () => {
    const { code, out } = await plan('--help');
    expect(code).toBe(0);
    expect(out.join('\n')).toBe(planCommand.usage);
  });
});
