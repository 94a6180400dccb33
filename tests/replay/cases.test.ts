import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { differingLines } from '../../agent/replay/differing-lines.js';
import { REPLAY_FILES } from '../../agent/replay/write-replay.js';
import { expectedTexts, replayCase, replayCases, rewriteExpected } from './case-files.js';

const ROOT = 'fixtures/replay';

/**
 * Expectations change only when somebody asks for it by name: REWRITE_REPLAY=<case> or REWRITE_REPLAY=all shows the difference, writes it,
 * and lets the test fail, so that it is looked at and the run repeated.
 */
const REWRITE = process.env['REWRITE_REPLAY'];

const CASES = replayCases(ROOT);

describe.each(CASES)('the replay of $name', (one) => {
  it('writes what is expected, byte for byte', async () => {
    const texts = await replayCase(one);
    const rewritten = REWRITE === 'all' || REWRITE === one.name ? rewriteExpected(one, texts) : [];
    expect(rewritten, 'expectations were rewritten: look at the difference, and run again').toEqual([]);
    const expected = expectedTexts(one);
    for (const file of REPLAY_FILES) {
      expect(differingLines(expected[file], texts[file]), file).toEqual([]);
      expect(texts[file], file).toBe(expected[file]);
    }
  });

  it('says what it teaches', () => {
    const about = readFileSync(join(one.folder, 'about.md'), 'utf8');
    expect(about).toMatch(/^# .+\n\n[A-Z]/u);
  });
});

describe('the runner of the cases', () => {
  const folder = mkdtempSync(join(tmpdir(), 'takeline-cases-'));
  afterAll(() => {
    rmSync(folder, { recursive: true });
  });

  it('fails on a folder without a case, and on a case without its files', () => {
    expect(() => replayCases(folder)).toThrow('there is no case in it');
    mkdirSync(join(folder, 'empty'));
    expect(() => replayCases(folder)).toThrow('site.yaml is missing');
  });

  it('does not take a missing expectation for a fulfilled one', async () => {
    const bare = { name: 'bare', folder: join(folder, 'bare') };
    mkdirSync(bare.folder);
    for (const name of ['site.yaml', 'recording.csv']) {
      writeFileSync(join(bare.folder, name), readFileSync(join(ROOT, 'bad-rows', name)));
    }
    const texts = await replayCase(bare);
    expect(expectedTexts(bare)['summary.json']).not.toBe(texts['summary.json']);
    expect(rewriteExpected(bare, texts)).toContain(`${join(bare.folder, 'expected', 'rejects.csv')}:`);
    expect(expectedTexts(bare)).toEqual(texts);
    expect(rewriteExpected(bare, texts)).toEqual([]);
  });

  it('shows the lines that differ', () => {
    expect(differingLines('a\nb\nb\nc\n', 'a\nb\nd\nc\n')).toEqual(['- b', '+ d']);
    expect(differingLines('a\n', 'a\n')).toEqual([]);
  });
});
