import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, test } from 'vitest';
import { checkCommand } from '../../agent/commands/check.js';
import { siteJsonSchema } from '../../agent/site/schema.js';

const GOOD = 'fixtures/sites/good/full.yaml';

async function check(...args: string[]): Promise<{ code: number; out: string[]; err: string[] }> {
  const out: string[] = [];
  const err: string[] = [];
  const code = await checkCommand.run(args, { out: (line) => out.push(line), err: (line) => err.push(line) });
  return { code, out, err };
}

describe('takeline check', () => {
  let folder = '';
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'takeline-check-'));
  });
  afterAll(() => {
    rmSync(folder, { recursive: true });
  });

  it('prints of a good site what it would watch, and nothing as an error', async () => {
    const { code, out, err } = await check(GOOD);
    expect({ code, err }).toEqual({ code: 0, err: [] });
    const text = out.join('\n');
    for (const said of [
      'Alder Point Cookware',
      'Conveyor enamel, Enamel furnace line',
      '3200 pitches of 76.2 mm (243.84 m)',
      'take-up tu1: column C14, after the drive',
      'stroke 230 mm, wrap 180°, gain 2.000',
      'free 320 mm, 18 N/mm, solid 150 mm, shortest usable 162 mm',
      'set-point carriage-skew: skew_mm 12, on_delay_s 900',
      '1 conveyor, 1 take-up, 7 signals',
    ]) {
      expect(text).toContain(said);
    }
    expect(
      out
        .find((line) => line.includes('enamel/tu1/right/position'))
        ?.trim()
        .split(/\s{2,}/u),
    ).toEqual(['enamel/tu1/right/position', 'plant/enamel/tu1', 'at /right/travel', 'mm', 'every 2 s', 'time at /time']);
  });

  it('prints what is worth a second look after it, and still ends well', async () => {
    const { code, out } = await check('fixtures/sites/warned/spring-index.yaml');
    expect(code).toBe(0);
    expect(out.at(-1)).toMatch(/^warning: fixtures\/sites\/warned\/spring-index\.yaml:\d+:\d+ /u);
  });

  it('lists every fault of a bad site on standard error, and prints nothing else', async () => {
    const path = join(folder, 'bad.yaml');
    writeFileSync(path, readFileSync(GOOD, 'utf8').replace('pitch_mm: 76.2', 'pich_mm: 76.2').replace('stroke_mm: 230', 'stroke_mm: 0'));
    const { code, out, err } = await check(path);
    expect({ code, out }).toEqual({ code: 1, out: [] });
    expect(err).toEqual([
      `${path}:7:7 conveyors[0].chain.pich_mm: there is no such key; perhaps pitch_mm was meant`,
      `${path}:36:20 conveyors[0].takeups[0].stroke_mm: 0 cannot be; it must be more than 0`,
    ]);
  });

  it('tells in one line that there is no such file, or that it is a folder', async () => {
    expect(await check(join(folder, 'gone.yaml'))).toMatchObject({
      code: 1,
      out: [],
      err: [expect.stringContaining('there is no such file')],
    });
    expect(await check(folder)).toMatchObject({ code: 1, out: [], err: [expect.stringContaining('this is a folder')] });
  });

  test.each([[[]], [['a.yaml', 'b.yaml']], [['--colour', 'a.yaml']], [['--schema', 'a.yaml']]])(
    'ends with 2 on wrong usage: %j',
    async (args) => {
      const { code, out, err } = await check(...args);
      expect({ code, out }).toEqual({ code: 2, out: [] });
      expect(err).toHaveLength(2);
      expect(err[1]).toContain('takeline check SITE');
    },
  );

  it('explains itself', async () => {
    const { code, out } = await check('--help');
    expect(code).toBe(0);
    expect(out.join('\n')).toBe(checkCommand.usage);
  });

  it('prints the JSON Schema of site files', async () => {
    const { code, out } = await check('--schema');
    expect(code).toBe(0);
    expect(`${out.join('\n')}\n`).toBe(siteJsonSchema());
  });
});
