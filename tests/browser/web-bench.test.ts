import { readFileSync } from 'node:fs';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { Plant } from '../web/a-plant.js';
import { launchChromium } from './chromium.js';
import { complaintsOf, signedInPage, startPlantWithScreens } from './web-screens.js';

const CASE = 'fixtures/replay/stroke-end';
const SITE = readFileSync(`${CASE}/site.yaml`, 'utf8');

let browser: Browser;
let plant: Plant;
let page: Page;
beforeAll(async () => {
  browser = await launchChromium();
  plant = await startPlantWithScreens({ siteText: SITE });
});
afterAll(async () => {
  await browser.close();
  await plant.stop();
});
beforeEach(async () => {
  page = await signedInPage(browser, plant.web, { width: 1280, height: 900 });
  await page.getByRole('link', { name: 'Bench' }).click();
});
afterEach(() => page.close());

async function replayCase(name: string): Promise<void> {
  await page.getByLabel('Case').selectOption({ label: name });
  await page.getByRole('button', { name: 'Replay this case' }).click();
  await page.getByText('Replayed.').waitFor();
}

describe('the bench', () => {
  it('replays a case, and shows what was told up to any instant of it', async () => {
    const complaints = complaintsOf(page);
    await replayCase('stroke end');
    await page.getByRole('heading', { name: 'Told up to then: 6' }).waitFor();
    await page.getByRole('slider').fill(String(Date.parse('2026-02-03T09:20:00Z')));
    await page.getByRole('heading', { name: 'Told up to then: 2' }).waitFor();
    await page.getByText('Travel low, enamel tu1').waitFor();
    await page.getByRole('button', { name: 'Next event' }).click();
    await page.getByText('Travel nearly used up, enamel tu1 left').waitFor();
    await page.getByText('At 2026-02-03 10:59:20').waitFor();
    expect(await page.getByRole('img', { name: /Position of both sides/ }).isVisible()).toBe(true);
    expect(complaints).toEqual([]);
  });

  it('plays, and stops by itself at the end', async () => {
    await replayCase('stroke end');
    await page.getByLabel('Speed').selectOption({ label: '10 h a second' });
    await page.getByRole('button', { name: 'Play', exact: true }).click();
    await page.getByRole('button', { name: 'Play', exact: true }).waitFor();
    await expect.poll(() => page.getByRole('slider').getAttribute('aria-valuetext'), { timeout: 20_000 }).toBe('2026-02-03 12:29:50');
    await page.getByRole('heading', { name: 'Told up to then: 6' }).waitFor();
  });

  it('shows side by side what another setting changes, and gives the site file to hand on', async () => {
    await replayCase('stroke end');
    const site = page.getByLabel('Site file: limits, delays, springs, references');
    await site.fill(SITE.replace('sides:', 'limits: { stroke-low: { remaining_mm: 60 } }\n        sides:'));
    await page.getByRole('button', { name: 'Replay with this setting' }).click();
    await page.getByText('1 alarm or finding differs, 2 are the same.').waitFor();
    const row = page.getByRole('row', { name: /Travel low/ });
    expect(await row.textContent()).toContain('earlier by');
    expect(await page.getByLabel('Lines of the site file that differ').textContent()).toContain('+         limits: { stroke-low');
  });

  it('says in words what is wrong with a setting, and keeps what is shown', async () => {
    await replayCase('stroke end');
    await page.getByLabel('Site file: limits, delays, springs, references').fill('site: 1');
    await page.getByRole('button', { name: 'Replay with this setting' }).click();
    await page.getByRole('alert').filter({ hasText: 'second site:1:' }).first().waitFor();
    expect(await page.getByRole('heading', { name: 'Told up to then: 6' }).isVisible()).toBe(true);
  });

  it('takes the times of a stretch year first and of 24 hours, as everywhere, and says which it did not understand', async () => {
    const stretch = page.locator('form').filter({ hasText: 'A stretch of this plant’s history' });
    const [from, to] = [stretch.getByLabel('From, on the site’s clock', { exact: true }), stretch.getByLabel('To', { exact: true })];
    for (const field of [from, to]) expect(await field.inputValue()).toMatch(/^20\d\d-\d\d-\d\d [0-2]\d:[0-5]\d$/);
    await from.fill('2/3/2026 9:20 PM');
    await to.fill('2026-02-03 21:40');
    await stretch.getByText('Write it like 2026-03-02 09:41.').waitFor();
    await stretch.getByRole('button', { name: 'Replay this stretch' }).click();
    await page.getByRole('alert').filter({ hasText: 'Give both times' }).waitFor();
    await from.fill('2026-2-3 9:20');
    const sent = page.waitForRequest((request) => request.method() === 'POST' && request.url().includes('/api/bench'));
    await stretch.getByRole('button', { name: 'Replay this stretch' }).click();
    const source = { kind: 'history', fromMs: Date.parse('2026-02-03T08:20:00Z'), toMs: Date.parse('2026-02-03T20:40:00Z') };
    expect((await sent).postDataJSON()).toMatchObject({ source });
  });

  it('keeps the part of a recording between two times that are typed', async () => {
    await replayCase('stroke end');
    const form = page.locator('form').filter({ hasText: 'Name, in small letters' });
    const [from, to] = [form.getByLabel('From', { exact: true }), form.getByLabel('To', { exact: true })];
    expect([await from.inputValue(), await to.inputValue()]).toEqual(['2026-02-03 10:00', '2026-02-03 12:29']);
    await form.getByLabel('Name, in small letters').fill('an-hour');
    await from.fill('25:00');
    await form.getByRole('button', { name: 'Keep this stretch' }).click();
    await form.getByRole('alert').filter({ hasText: 'Give both times' }).waitFor();
    await from.fill('2026-02-03 10:30');
    await to.fill('2026-02-03 11:30');
    const sent = page.waitForRequest((request) => request.method() === 'POST' && request.url().endsWith('/keep'));
    await form.getByRole('button', { name: 'Keep this stretch' }).click();
    const { fromMs, toMs } = (await sent).postDataJSON() as { fromMs: number; toMs: number };
    expect(toMs - fromMs).toBe(61 * 60_000);
    await page.getByText(/Kept on the server in .*an-hour/).waitFor();
  });

  it('keeps a stretch as a test', async () => {
    await replayCase('stroke end');
    await page.getByLabel('Name, in small letters').fill('end-of-february');
    await page.getByLabel('What it teaches, in a sentence').fill('The end of the stroke, kept.');
    await page.getByRole('button', { name: 'Keep this stretch' }).click();
    await page.getByText(/Kept on the server in .*end-of-february/).waitFor();
    await page.getByRole('button', { name: 'Close it' }).click();
    await page.getByLabel('Case').selectOption({ label: 'end of february' });
    await page.getByText('The end of the stroke, kept.').waitFor();
    expect(await page.getByRole('button', { name: 'Replay this case' }).isEnabled()).toBe(true);
  });

  it('takes a recording from a file', async () => {
    await page.getByLabel('CSV, .csv.gz or Parquet').setInputFiles(`${CASE}/recording.csv`);
    await page.getByRole('button', { name: 'Send and replay' }).click();
    await page.getByText('Replayed.').waitFor();
    await page.getByRole('heading', { name: 'Told up to then: 6' }).waitFor();
    expect(await page.getByText('None of 1800.').isVisible()).toBe(true);
  });

  it('says of an empty file that it is empty, and of one that stands backwards what helps', async () => {
    await page.getByLabel('CSV, .csv.gz or Parquet').setInputFiles({ name: 'nothing.csv', mimeType: 'text/csv', buffer: Buffer.alloc(0) });
    await page.getByRole('button', { name: 'Send and replay' }).click();
    await page.getByText('nothing.csv is empty: there is nothing in it to replay.').waitFor();
    const [header, ...rows] = readFileSync(`${CASE}/recording.csv`, 'utf8').trimEnd().split('\n');
    await page.getByLabel('CSV, .csv.gz or Parquet').setInputFiles({
      ...{ name: 'backwards.csv', mimeType: 'text/csv' },
      buffer: Buffer.from([header, ...rows.toReversed()].join('\n')),
    });
    await page.getByRole('button', { name: 'Send and replay' }).click();
    await page.getByText('does not stand in order of time', { exact: false }).waitFor();
    expect(await page.getByText(/late by more than a minute, of 1800/).isVisible()).toBe(true);
  });

  it('gives up sending a recording when it is told to', async () => {
    // The server takes its time.
    await page.route('**/api/bench/recordings*', () => undefined);
    await page.getByLabel('CSV, .csv.gz or Parquet').setInputFiles(`${CASE}/recording.csv`);
    await page.getByRole('button', { name: 'Send and replay' }).click();
    await page.getByRole('progressbar', { name: 'How much of it is sent' }).waitFor();
    await page.getByRole('button', { name: 'Cancel' }).click();
    await page.getByText('It was not sent: you cancelled it.').waitFor();
    expect(await page.getByRole('button', { name: 'Send and replay' }).isEnabled()).toBe(true);
  });

  it('proposes a mapping for a recording in another form, and shows how it reads before it is replayed', async () => {
    const rows = readFileSync(`${CASE}/recording.csv`, 'utf8').trimEnd().split('\n').slice(1);
    const text = rows.map((row) => row.split(',')).map(([time, signal, value]) => `${time};${signal};${value?.replace('.', ',')}`);
    await page.getByLabel('CSV, .csv.gz or Parquet').setInputFiles({
      name: 'export.txt',
      mimeType: 'text/plain',
      buffer: Buffer.from(['Time;Tag;Value', ...text].join('\n')),
    });
    await page.getByText('Service entries, another site, another form').click();
    await page.getByRole('button', { name: 'Propose a mapping' }).click();
    await page.getByText(/\d+ readings in the \d+ rows looked at\./).waitFor();
    expect(await page.getByRole('region', { name: 'First readings of the file' }).textContent()).toContain('enamel/tu1/left/position');
    await page.getByRole('button', { name: 'Send and replay' }).click();
    await page.getByText('Replayed.').waitFor();
    await page.getByRole('heading', { name: 'Told up to then: 6' }).waitFor();
  });

  it('has no fault that a checker of accessible pages finds, opened or not', async () => {
    expect(await faultsOf(page)).toEqual([]);
    await replayCase('bad rows');
    expect(await faultsOf(page)).toEqual([]);
  });

  it('fits a phone', async () => {
    await page.setViewportSize({ width: 360, height: 740 });
    await replayCase('spring surge');
    await page.getByRole('heading', { name: 'The recording' }).waitFor();
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(360);
  });
});

/** What axe finds wrong, one line a rule. The page's own policy lets no foreign script in, so it is evaluated from outside. */
async function faultsOf(on: Page): Promise<readonly string[]> {
  await on.evaluate(readFileSync('node_modules/axe-core/axe.min.js', 'utf8'));
  return on.evaluate(async () => {
    const { axe } = window as unknown as { axe: { run: () => Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> } };
    const { violations } = await axe.run();
    return violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html.slice(0, 120)).join(' | ')}`);
  });
}
