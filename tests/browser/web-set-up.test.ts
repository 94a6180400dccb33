import { readFileSync } from 'node:fs';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import type { DiskUse } from '../../agent/store/disk-use.js';
import type { Plant } from '../web/a-plant.js';
import { nowOf } from '../web/a-takeup.js';
import { colleague, engineer } from '../web/a-visitor.js';
import { launchChromium } from './chromium.js';
import { signedInPage, startPlantWithScreens } from './web-screens.js';

const SITE = readFileSync('fixtures/replay/stroke-end/site.yaml', 'utf8');
const MB = 2 ** 20;
const DAY_MS = 86_400_000;
const POSITION = 'line1/tu1/left/position';

let browser: Browser;
let plant: Plant;
let page: Page;
let diskUse: DiskUse;
beforeAll(async () => {
  browser = await launchChromium();
  plant = await startPlantWithScreens({ siteText: SITE, history: { diskUse: () => Promise.resolve(diskUse) } });
  plant.agent.answer = () => ({
    ...{ ok: true, message: 'as they stand' },
    detail: {
      signals: [{ signal: POSITION, raw: 101.6, value: 101.6, state: 'good', at: new Date().toISOString(), rejected: { spike: 3 } }],
    },
  });
  await plant.agent.now(nowOf({ time: new Date().toISOString() }));
  const boss = await engineer(plant.web);
  for (const [name, role] of [
    ['wall', 'viewer'],
    ['kari', 'technician'],
  ] as const)
    await colleague(plant.web.url, boss, name, role);
});
afterAll(async () => {
  await browser.close();
  await plant.stop();
});
afterEach(() => page.close());

async function setUpAs(name: string | undefined, part: string): Promise<void> {
  await plant.agent.heartbeat();
  const who = name === undefined ? plant.web : { ...plant.web, firstPassword: { name, password: `${name}-password` } };
  page = await signedInPage(browser, who);
  await page.goto(`${plant.web.url}/#/set-up/${part}`);
  await page.getByRole('heading', { name: 'Set-up' }).waitFor();
}
const partsOffered = () => page.getByRole('navigation', { name: 'Parts of the set-up' }).getByRole('link').allInnerTexts();
const signal = () => page.getByRole('row', { name: new RegExp(`^${POSITION} `) });

describe('setting up, by who is signed in', () => {
  it('a viewer sees the signals and changes nothing', async () => {
    await setUpAs('wall', 'signals');
    await expect.poll(() => signal().innerText()).toMatch(/101\.6\smm\s+101\.60\smm\s+good/);
    expect(await page.getByRole('button', { name: /^Calibrate/ }).count()).toBe(0);
    expect(await partsOffered()).not.toContain('Site file');
  });

  it('a viewer reads the service log, and nothing there speaks of writing', async () => {
    await setUpAs('wall', 'signals');
    await page.getByRole('link', { name: 'Work', exact: true }).click();
    await page.getByRole('link', { name: 'Service log: look up, take away' }).click();
    await page.getByRole('heading', { name: 'What a carriage says', exact: true }).waitFor();
    await page.getByLabel('Take-up').selectOption({ index: 1 });
    await page.getByRole('region', { name: 'What the carriage says' }).waitFor();
    expect(await page.getByRole('button', { name: /Write|Record|Not so|Strike|Correct/ }).count()).toBe(0);
    expect(await page.getByText(/write down/i).count()).toBe(0);
  });

  it('a technician calibrates, and hands the scale on to an engineer', async () => {
    await setUpAs('kari', 'signals');
    await page.getByRole('button', { name: `Calibrate ${POSITION}` }).click();
    expect(await page.getByLabel('First place, mm').isVisible()).toBe(true);
    expect(await partsOffered()).not.toContain('Site file');
    await page.goto(`${plant.web.url}/#/set-up/site-file`);
    await page.getByText('engineers alone read and change it').waitFor();
    expect(await page.getByRole('textbox').count()).toBe(0);
  });

  it('a technician at the sensor has each signal as a card on a phone, with nothing to scroll sideways, and calibrates from there', async () => {
    await setUpAs('kari', 'signals');
    await page.setViewportSize({ width: 360, height: 740 });
    const card = page.getByRole('list', { name: 'Signals' }).getByRole('listitem').filter({ hasText: POSITION });
    await expect.poll(() => card.innerText()).toMatch(/Is\s+101\.60\smm\s+Raw\s+101\.6\smm\s+State\s+good[\s\S]+Not used\s+3 spike/);
    expect(await page.getByRole('table').count()).toBe(0);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(360);
    await card.getByRole('button', { name: `Calibrate ${POSITION}` }).click();
    expect(await page.getByLabel('First place, mm').isVisible()).toBe(true);
  });

  it('an engineer has everything', async () => {
    await setUpAs(undefined, 'site-file');
    await page.getByLabel(/^Site file, YAML/).waitFor();
    expect(await partsOffered()).toEqual([
      ...['Signals', 'Site as read', 'Springs from wire', 'Tension around the loop', 'Site file', 'People and rota', 'Disk'],
    ]);
  });
});

describe('what the history takes on the disk', () => {
  const figures = { totalBytes: 1300 * MB, spareBytes: 20 * MB, figuresBytes: 200 * MB, freeBytes: 50_000 * MB };
  const use = (over: Partial<DiskUse> = {}): DiskUse => ({
    ...figures,
    journal: { readings: 1_000_000, bytes: 20 * MB },
    blocks: { readings: 600_000_000, bytes: 980 * MB },
    recorder: { readings: 3_000_000, bytes: 60 * MB },
    ...{ oldestMs: Date.now() - 10 * DAY_MS, oldestMinuteMs: Date.now() - 100 * DAY_MS },
    retention: { rawDays: 30, minuteDays: 400 },
    ...over,
  });

  it('is seen by everybody: by kind, for how long, and what goes next', async () => {
    diskUse = use();
    await setUpAs('wall', 'disk');
    await page.getByRole('row', { name: /^Raw readings, packed/ }).waitFor();
    expect(await page.getByRole('row', { name: /^Raw readings, packed/ }).innerText()).toMatch(/980 MB\s+75 %\s+600 million\s+30 days/);
    expect(await page.getByText('no limit but the disk itself').count()).toBe(1);
    expect(await page.locator('.disk-next').innerText()).toMatch(/Raw readings go back to .* come to 2\.93 GB\./s);
    expect(await page.getByText('Needs someone').count()).toBe(0);
  });

  it('says in a word that somebody has to make room', async () => {
    diskUse = use({ retention: { rawDays: 30, minuteDays: 400, maxBytes: 2000 * MB } });
    await setUpAs('kari', 'disk');
    await page.getByText('▲ Needs someone: At the present').waitFor();
    expect(await page.getByText('of 1.95 GB that it may take').count()).toBe(1);
  });

  it('is one page wide on a phone', async () => {
    diskUse = use();
    await setUpAs('wall', 'disk');
    await page.setViewportSize({ width: 360, height: 740 });
    const kinds = page.getByRole('list', { name: 'What the history takes, by kind' });
    const packed = kinds.getByRole('listitem').filter({ has: page.getByRole('heading', { name: 'Raw readings, packed' }) });
    expect(await packed.innerText()).toMatch(/Size\s+[\d.]+ (MB|GB), \d+ %\s+Readings\s+.*\s+Kept\s+30 days/);
    // Nothing has to be pushed sideways to be read.
    expect(await kinds.evaluate((list) => list.scrollWidth - list.clientWidth)).toBe(0);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(360);
  });
});

describe('setting up, in the units of a person', () => {
  it('works a spring out from its wire', async () => {
    await setUpAs(undefined, 'springs');
    // Round numbers: d 16, D 80, 8 of 10 coils, G 81 500 give 163.000 N/mm.
    const figure = (name: string) =>
      page
        .locator('.figure-line')
        .filter({ has: page.getByText(name, { exact: true }) })
        .locator('dd');
    expect(await figure('Rate').innerText()).toMatch(/^163\.0\sN\/mm$/);
    expect(await figure('Shortest usable length').innerText()).toMatch(/^177\.6\smm$/);
    await page.getByLabel('Ends').selectOption('unground');
    await expect.poll(() => figure('Solid length').innerText()).toMatch(/^184\.0\smm$/);
    await page.getByLabel('Wire, mm').fill('nothing');
    await page.getByText('Every field takes a number above 0.').waitFor();
  });

  it('shows signals, springs and the site as read in inches and pounds', async () => {
    await setUpAs(undefined, 'signals');
    await page.locator('.menu summary').click();
    await page.getByLabel('in, lbf, °F').check();
    await expect.poll(() => signal().innerText()).toMatch(/101\.6\smm\s+4\.000\sin/);
    await page.getByRole('link', { name: 'Springs from wire' }).click();
    expect(await page.getByLabel('Wire, in').inputValue()).toBe('0.6299');
    await page.getByRole('link', { name: 'Site as read' }).click();
    const read = await page.getByRole('region', { name: 'Take-up tu1' }).innerText();
    expect(read).toMatch(/Stroke\s+9\.06\sin/);
    expect(read).not.toMatch(/\d\smm\b|\d\sN\b/);
    expect(await page.locator('.page-head').innerText()).toContain('clock of Europe/Oslo');
    await page.locator('.menu summary').click();
    await page.getByLabel("The site's").check();
  });
});
