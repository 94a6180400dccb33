import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { expect, it } from 'vitest';
import { Cards } from '../../web/server/work/cards.js';
import { cardFor } from '../web/a-card.js';
import { siteWith } from '../web/a-site.js';

const ROUNDS = 5;
/** Writes on card 1 without end, and says each version once it is kept. */
const WRITER = `
  import { Cards } from ${JSON.stringify(new URL('../../dist/web/server/work/cards.js', import.meta.url).href)};
  import { writeSync } from 'node:fs';
  const cards = await Cards.open(process.argv[1]);
  for (;;) {
    const card = await cards.change(1, (now) => ({ ...now, version: now.version + 1, blanks: { 'done-note': { value: 'x'.repeat(now.version % 4000) } } }));
    writeSync(1, card.version + '\\n');
  }
`;

it('a job card outlives a process that is killed while it writes: whole, and with all that was kept', async () => {
  const dataDir = mkdtempSync(join(tmpdir(), 'takeline-cards-'));
  try {
    await (await Cards.open(dataDir)).add(cardFor(siteWith(1)));
    for (let round = 1; round <= ROUNDS; round++) {
      const kept = await killedAfter(dataDir, 3 * round);
      const card = (await Cards.open(dataDir)).find(1);
      expect(card?.version).toBeGreaterThanOrEqual(kept);
      expect(card?.card.sections[0]?.key).toBe('cautions');
    }
    expect(readdirSync(join(dataDir, 'web', 'cards')).filter((name) => name.endsWith('.json'))).toEqual(['1.json']);
  } finally {
    rmSync(dataDir, { recursive: true, force: true });
  }
});

/** Lets the writer keep so many versions, kills it, and says the last that it knew to be kept. */
async function killedAfter(dataDir: string, count: number): Promise<number> {
  const child = spawn(process.execPath, ['--input-type=module', '-e', WRITER, dataDir], { stdio: ['ignore', 'pipe', 'inherit'] });
  const closed = once(child, 'close');
  let last = 0;
  let lines = 0;
  for await (const line of createInterface({ input: child.stdout })) {
    last = Number(line);
    if ((lines += 1) === count) child.kill('SIGKILL');
  }
  await closed;
  expect(lines).toBeGreaterThanOrEqual(count);
  return last;
}
