import { readFileSync } from 'node:fs';
import axe from 'axe-core';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { readSite } from '../../agent/site/read-site.js';
import type { Site } from '../../agent/site/site.js';
import type { CardAnswer } from '../../web/server/logic/card-answers.js';
import type { Plant } from '../web/a-plant.js';
import { findingOf, loggedOf, Service } from '../web/a-service.js';
import { nowOf } from '../web/a-takeup.js';
import { engineer } from '../web/a-visitor.js';
import { launchChromium } from './chromium.js';
import { complaintsOf, signedInPage, startPlantWithScreens } from './web-screens.js';

/** Until the picture of the take-up has come to the server. */
const WAIT = { timeout: 60_000, interval: 100 };
const PHONE = { width: 360, height: 740 };
const DEMO = new URL('../../agent/demo/alder-point.yaml', import.meta.url);

let browser: Browser;
let plant: Plant;
const service = new Service();
/** Of the enamel line, which has carriers and connectors: the longest card that there is. */
let card: CardAnswer;
/** Of one of two take-ups on a chain. */
let shared: CardAnswer;
const LONG = 'above the loading bay at the north wall of hall 3, reached by the ladder behind the pallet lift';

beforeAll(async () => {
  browser = await launchChromium();
  const reading = readSite(readFileSync(DEMO, 'utf8'), 'alder-point.yaml');
  if (!reading.ok) throw new Error('the demo site can be read');
  plant = await startPlantWithScreens({ site: withLongNames(reading.site), history: service.history });
  plant.agent.answer = service.answer;
  const time = new Date().toISOString();
  const side = { readingMm: 240, positionMm: 240, positionAt: time, springMm: 372, forceN: 836 };
  const enamel = { time, conveyor: 'enamel', takeup: 'tu1', positionMm: 240, settledMm: 240, settledAt: time, left: side, right: side };
  await plant.agent.now(nowOf(enamel));
  await plant.agent.heartbeat();
  await plant.agent.now(nowOf({ ...enamel, conveyor: 'overhead', takeup: 'drive-end' }));
  const boss = await engineer(plant.web);
  const job = { kind: 'removal', pitches: 4 };
  const wish = { units: 'imperial', handlingSlackMm: '20' };
  const made = (body: object) =>
    vi.waitFor(async () => {
      const response = await boss.ask('POST', '/api/cards', { ...body, job });
      if (response.status !== 201) throw new Error(await response.text());
      return (await response.json()) as CardAnswer;
    }, WAIT);
  card = await made({ request: 'print', conveyor: 'enamel', takeup: 'tu1', wish });
  const far = { ...wish, positionMm: '290' };
  shared = await made({ request: 'print-2', conveyor: 'overhead', takeup: 'drive-end', wish: far });
});
afterAll(async () => {
  await plant.stop();
  await browser.close();
});
beforeEach(async () => {
  // An agent that is not heard for half a minute tells nothing of the present.
  await plant.agent.heartbeat();
  service.findings = [
    findingOf({ conveyor: 'enamel', suggestion: { time: '2026-03-02T07:00:00Z', conveyor: 'enamel', kind: 'chain-removed', pitches: 2 } }),
  ];
  service.entries = [
    loggedOf({ id: 'n', time: '2026-02-01T08:00:00Z', conveyor: 'enamel', takeup: 'tu1', kind: 'note', text: 'guard is bent', by: 'ola' }),
    loggedOf({ id: 'r', time: '2026-02-03T08:00:00Z', conveyor: 'enamel', kind: 'chain-removed', pitches: 2, by: 'ola' }),
    loggedOf({ id: 'l', time: '2026-02-05T08:00:00Z', conveyor: 'drying', kind: 'lubricated', by: 'kari' }),
  ];
});

/** The demo site with take-ups that hang where it takes long to say. */
function withLongNames(site: Site): Site {
  const conveyors = site.conveyors.map((conveyor) => {
    if (conveyor.id !== 'overhead') return conveyor;
    return { ...conveyor, takeups: conveyor.takeups.map((takeup) => ({ ...takeup, location: LONG })) };
  });
  return { ...site, conveyors };
}

async function open(hash: string, size?: { width: number; height: number }): Promise<{ page: Page; complaints: string[] }> {
  const page = await signedInPage(browser, plant.web, size);
  const complaints = complaintsOf(page);
  await page.goto(`${plant.web.url}/#/${hash}`);
  return { page, complaints };
}

/** Each page of the work with what shows that it is there. */
const PAGES = [
  ['work', /^Job card|Card 1/],
  ['work/plan/enamel/tu1', /^Removals, side by side$/],
  ['work/card/1', /^Lock out and tag out$/],
  ['work/log', /^3 entries$/],
  ['report/enamel', /^Last work$/],
] as const;

describe.each(PAGES)('the page %s', (hash, there) => {
  it('can be used by everybody, light and dark, and fits a phone', async () => {
    const { page, complaints } = await open(hash, PHONE);
    await page.getByText(there).first().waitFor();
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(360);
    for (const theme of ['light', 'dark']) {
      await page.evaluate((value) => (document.documentElement.dataset['theme'] = value), theme);
      // Not as a script of the page, which its content policy would stop.
      await page.evaluate(axe.source);
      const found = await page.evaluate(async () => {
        const { violations } = await (globalThis as unknown as { axe: typeof axe }).axe.run(document);
        return violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html.slice(0, 120)).join(' | ')}`);
      });
      expect([theme, ...found]).toEqual([theme]);
    }
    expect(complaints).toEqual([]);
    await page.close();
  });
});

describe('what the carriages say and nobody has written down', () => {
  it('is listed for the whole site, and confirmed from there', async () => {
    const { page } = await open('work', PHONE);
    const list = page.getByRole('region', { name: /^What the carriages say/ });
    await list.getByRole('link', { name: 'Enamel furnace line, tu1' }).waitFor();
    await list.getByRole('button', { name: /^Record it: 2 pitches taken out/ }).click();
    await list.getByText('Nothing: every move is accounted for.').waitFor();
    expect(service.entries.at(-1)?.body).toMatchObject({ conveyor: 'enamel', kind: 'chain-removed', pitches: 2, by: 'engineer' });
    await page.close();
  });

  it('is rejected from there too', async () => {
    const { page } = await open('work');
    await page.getByRole('button', { name: /^Not so \(Chain taken out, Enamel furnace line, tu1/ }).click();
    await page.getByText('Nothing: every move is accounted for.').waitFor();
    expect(service.findings[0]).toMatchObject({ state: 'rejected', by: 'engineer' });
    await page.close();
  });
});

describe('on paper', () => {
  it.each(['A4', 'Letter'])(
    'a job card is one sheet of %s, with its cautions and lines to write on, and nothing of the screen',
    async (format) => {
      const { page } = await open(`work/card/${String(card.number)}`);
      await page.getByRole('heading', { name: 'Lock out and tag out' }).waitFor();
      expect(sheetsOf(await page.pdf({ format }))).toBe(1);
      await page.emulateMedia({ media: 'print' });
      const words = await page.locator('body').innerText();
      for (const said of [
        'not a safety device',
        'Lock out and tag out',
        'Locked at',
        'Hot-work permit',
        'Guards are back',
        'Pitches taken out',
      ])
        expect(words).toContain(said);
      for (const unsaid of ['Floor', 'This job will not be done', 'steps ticked', 'Begin the job']) expect(words).not.toContain(unsaid);
      const line = page.getByLabel('Locked by');
      expect(await line.evaluate((input) => getComputedStyle(input).borderBottomStyle)).toBe('solid');
      expect((await line.boundingBox())?.width).toBeGreaterThan(60);
      await page.close();
    },
  );

  it.each(['A4', 'Letter'])(
    'so is one with another take-up to hold, carriers to take off and names as long as they come, on %s',
    async (format) => {
      const { page } = await open(`work/card/${String(shared.number)}`);
      await page.getByRole('heading', { name: 'Lock out and tag out' }).waitFor();
      expect(sheetsOf(await page.pdf({ format }))).toBe(1);
      const words = await page.locator('body').innerText();
      for (const said of [LONG, 'run the restraint nuts in at far-end', 'Take off 1 carrier']) expect(words).toContain(said);
      await page.close();
    },
  );

  it.each(['A4', 'Letter'])('a condition report of one take-up is one sheet of %s', async (format) => {
    const { page } = await open('report/enamel');
    await page.getByText('2 pitches taken out').waitFor();
    expect(sheetsOf(await page.pdf({ format }))).toBe(1);
    await page.emulateMedia({ media: 'print' });
    const words = await page.locator('body').innerText();
    for (const said of ['Condition of Enamel furnace line', 'Elongation', 'Travel used up', 'guard is bent', 'Take-up tu1'])
      expect(words).toContain(said);
    expect(words).not.toContain('Floor');
    await page.close();
  });
});

/** Sheets of a PDF file: its page objects, which Chromium writes as plain text. */
function sheetsOf(pdf: Buffer): number {
  return pdf.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0;
}

describe('the service log of the site', () => {
  it('is narrowed down, and corrected with the old entry kept', async () => {
    const { page } = await open('work/log');
    const log = page.getByRole('region', { name: 'Entries' });
    await log.getByText('3 entries').waitFor();
    await log.getByLabel('Conveyor').selectOption('Enamel furnace line');
    await log.getByText('2 entries').waitFor();
    expect(await log.getByRole('link', { name: 'CSV' }).getAttribute('href')).toBe('/api/entries.csv?conveyor=enamel');
    await log.getByLabel('Words').fill('guard');
    await log.getByText('1 entry').waitFor();
    await log.getByLabel('Words').fill('');
    await log.getByText('2 entries').waitFor();

    await log.getByRole('button', { name: /^Correct: 2 pitches taken out/ }).click();
    const form = log.getByRole('form', { name: 'Correct: 2 pitches taken out' });
    await form.getByRole('button', { name: 'Write the correction down' }).click();
    await form.getByText('Nothing is changed yet.').waitFor();
    await form.getByLabel('Pitches taken out').fill('4');
    await form.getByRole('button', { name: 'Write the correction down' }).click();
    const entry = log.getByRole('listitem', { name: /4 pitches taken out/ });
    await entry.waitFor();
    expect(await entry.innerText()).toMatch(/4 pitches taken out[\s\S]*corrected by engineer/);
    await entry.getByText('As it was written').click();
    expect(await entry.getByRole('list', { name: 'As it was written' }).innerText()).toMatch(
      /2 pitches taken out[\s\S]*4 pitches taken out/,
    );
    expect(service.entries.at(-1)?.body).toMatchObject({ kind: 'correction', replaces: 'r', pitches: 4, by: 'engineer' });
    await page.close();
  });

  it('strikes out only what is asked for twice, and keeps it to be read', async () => {
    const { page } = await open('work/log');
    await page.getByRole('button', { name: /^Strike out: guard is bent/ }).click();
    const sure = page.getByRole('group', { name: /^Strike out: guard is bent/ });
    // Whoever goes by keyboard is asked, and a key pressed twice strikes nothing out.
    expect(await sure.getByRole('button', { name: 'Keep it' }).evaluate((button) => button === document.activeElement)).toBe(true);
    await page.keyboard.press('Enter');
    const offer = page.getByRole('button', { name: /^Strike out: guard is bent/ });
    await expect.poll(() => offer.evaluate((button) => button === document.activeElement)).toBe(true);
    expect(service.entries).toHaveLength(3);
    await offer.click();
    await sure.getByRole('button', { name: 'Strike it out' }).press('Enter');
    const entry = page.getByRole('listitem', { name: /guard is bent/ });
    await entry.getByText('(struck out by engineer)').waitFor();
    await expect.poll(() => entry.evaluate((item) => item === document.activeElement)).toBe(true);
    expect(await page.locator('[aria-live=polite]').innerText()).toMatch(/^Struck out: guard is bent, /);
    const line = await entry.getByText('guard is bent', { exact: true }).evaluate((words) => getComputedStyle(words).textDecorationLine);
    expect(line).toBe('line-through');
    expect(service.entries.at(-1)?.body).toMatchObject({ kind: 'correction', replaces: 'n', withdraw: true });
    await page.close();
  });
});

describe('a plan', () => {
  it('follows what is typed, in the units of the reader, and shows the loop as a table too', async () => {
    const { page, complaints } = await open('work/plan/enamel/tu1');
    const table = page.getByRole('region', { name: 'Removals, side by side' });
    await table.getByText('recommended').waitFor();
    expect(await table.getByRole('row', { name: /^Left spring and nut/ }).innerText()).toMatch(/(tighten|back off) [\d¼½¾]+ turns?/);
    await page.getByText('What the plan reckons with').click();
    await page.getByLabel('No carrier may come off').check();
    await table.getByText('no: a carrier must stay').first().waitFor();
    await page.getByLabel('Strand tension to set, N').fill('much');
    await page.getByText('Give a number, such as 12 or 12.5.').waitFor();
    await page.getByLabel('Strand tension to set, N').fill('900');
    await page.getByRole('heading', { name: 'To a strand tension of 900 N' }).waitFor();
    await page.getByText('As a table').click();
    const loop = page.getByRole('region', { name: 'Tension around the loop' });
    expect(await loop.getByRole('row').count()).toBeGreaterThan(5);
    expect(complaints).toEqual([]);
    await page.close();
  });
});
