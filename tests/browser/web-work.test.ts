import type { Browser, Locator, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { Plant } from '../web/a-plant.js';
import { findingOf, loggedOf, Service } from '../web/a-service.js';
import { nowOf } from '../web/a-takeup.js';
import { launchChromium } from './chromium.js';
import { complaintsOf, signedInPage, startPlantWithScreens } from './web-screens.js';

const DAY_MS = 86_400_000;
const INSERTED = findingOf({
  ...{ id: 'line1-tu1-2', toMs: Date.parse('2026-03-05T07:00:00Z'), finding: 'chain-inserted', moveMm: 152 },
  suggestion: { time: '2026-03-05T07:00:00Z', conveyor: 'line1', kind: 'chain-inserted', pitches: 4 },
  text: 'The carriage moved 152.0 mm outwards over a stop, and stayed there, heat taken off. That is what putting in 4 pitches does.',
});

let browser: Browser;
let plant: Plant;
let service: Service;
beforeAll(async () => {
  browser = await launchChromium();
});
afterAll(() => browser.close());
beforeEach(async () => {
  service = new Service();
  service.findings = [INSERTED, findingOf()];
  service.entries = [
    loggedOf({ id: 'n', time: '2026-02-01T08:00:00Z', conveyor: 'line1', takeup: 'tu1', kind: 'note', text: 'guard is bent', by: 'ola' }),
    loggedOf({ id: 'c', time: '2026-02-02T08:00:00Z', kind: 'correction', replaces: 'n', withdraw: true, by: 'kari' }),
  ];
  plant = await startPlantWithScreens({ history: service.history });
  plant.agent.answer = service.answer;
  await plant.agent.now(nowOf({ time: new Date().toISOString() }));
  await plant.agent.heartbeat();
});
afterEach(() => plant.stop());

async function open(size?: { width: number; height: number }): Promise<{ page: Page; complaints: string[] }> {
  const page = await signedInPage(browser, plant.web, size);
  const complaints = complaintsOf(page);
  await page.goto(`${plant.web.url}/#/takeup/line1/tu1`);
  await finding(page, 'Chain put in').waitFor();
  return { page, complaints };
}

/** What the carriage says of a move: by what it is taken for. */
const finding = (page: Page, words: string) =>
  page.getByRole('region', { name: 'What the carriage says' }).getByRole('listitem', { name: new RegExp(`^${words}, `) });
/** The entries of the log that read so. */
const entries = (page: Page, words: string) =>
  page.getByRole('region', { name: 'Service log' }).getByRole('listitem', { name: new RegExp(`^${words}, `) });

/** Where the keyboard is. */
const stoodOn = (page: Page) => page.evaluate(() => `${document.activeElement?.tagName}: ${document.activeElement?.textContent.trim()}`);
/** What those who listen are told in a pause. */
const heard = (page: Page) => page.locator('[aria-live=polite]').innerText();

describe('what the carriage says', () => {
  it('is confirmed with one click, and not so with another', async () => {
    const { page, complaints } = await open();
    const [putIn, takenOut] = [finding(page, 'Chain put in'), finding(page, 'Chain taken out')];
    expect(await putIn.innerText()).toMatch(/2026-03-05 08:00.*open/s);

    await takenOut.getByRole('button', { name: 'Record it: 2 pitches taken out' }).press('Enter');
    await takenOut.getByText('recorded by engineer', { exact: true }).waitFor();
    await expect.poll(() => stoodOn(page)).toMatch(/^H3: Chain taken out/);
    await expect.poll(() => heard(page)).toBe('Recorded: 2 pitches taken out.');
    await expect.poll(() => entries(page, '2 pitches taken out').innerText()).toMatch(/2026-03-02 08:00.*2 pitches taken out.*engineer/s);

    await putIn.getByRole('button', { name: 'Not so' }).press('Enter');
    await putIn.getByText('not so, says engineer', { exact: true }).waitFor();
    await expect.poll(() => stoodOn(page)).toMatch(/^H3: Chain put in/);
    await expect.poll(() => heard(page)).toMatch(/^Not so: Chain put in, /);
    expect(await page.getByRole('region', { name: 'What the carriage says' }).getByRole('button').count()).toBe(0);
    expect(plant.agent.asked.map(({ verb }) => verb)).toEqual(['service-entry', 'reject-finding']);
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('shows anew, without anybody asking, when the agent finds something or somebody else was quicker', async () => {
    const { page } = await open();
    service.findings = service.findings.map((finding) => ({ ...finding, state: 'explained' }));
    await plant.agent.event({
      ...{ version: 1, id: 'line1-tu1-2', time: '2026-03-05T07:00:00Z', conveyor: 'line1', takeup: 'tu1' },
      ...{ event: 'finding', detail: {} },
    });
    for (const words of ['Chain put in', 'Chain taken out'])
      await expect.poll(() => finding(page, words).innerText()).toMatch(/^accounted for$/m);
    await page.close();
  });

  it('keeps its buttons and says why where the agent refuses', async () => {
    const { page } = await open();
    plant.agent.answer = () => ({ ok: false, message: 'no such finding is open' });
    const putIn = finding(page, 'Chain put in');
    await putIn.getByRole('button', { name: 'Not so' }).click();
    await expect.poll(() => putIn.getByRole('alert').innerText()).toContain('No such finding is open.');
    expect(await putIn.getByRole('button').count()).toBe(2);
    await page.close();
  });
});

/** What is said of a field beside it, to whoever hears the page as well. */
const describedBy = (field: Locator) =>
  field.evaluate((input) => document.getElementById(input.getAttribute('aria-describedby') ?? '')?.textContent);

describe('what was done', () => {
  it('is written down on a phone, and nothing typed is lost where it is refused', async () => {
    const { page, complaints } = await open({ width: 360, height: 740 });
    const form = page.getByRole('form', { name: 'Write down what was done' });
    expect(await form.innerText()).toContain('Takeline is not a safety device');
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(360);

    await form.getByRole('button', { name: 'Write it down' }).click();
    const pitches = form.getByLabel('Pitches taken out');
    await expect.poll(() => pitches.getAttribute('aria-invalid')).toBe('true');
    expect(await describedBy(pitches)).toBe('Give a number.');
    expect(await pitches.evaluate((input) => input === document.activeElement)).toBe(true);

    plant.agent.answer = () => ({ ok: false, message: '4 pitches cannot have been taken out of a chain of 3: check the count' });
    await page.keyboard.type('4');
    await page.keyboard.press('Enter');
    await expect.poll(() => form.getByRole('alert').innerText()).toContain('check the count');
    expect(await pitches.inputValue()).toBe('4');

    plant.agent.answer = service.answer;
    await form.getByRole('button', { name: 'Write it down' }).click();
    await expect.poll(() => form.getByRole('status').innerText()).toBe('Written down: 4 pitches taken out.');
    await entries(page, '4 pitches taken out').waitFor();
    expect(await pitches.inputValue()).toBe('');
    const [entry] = service.entries.slice(-1);
    expect(entry?.body).toMatchObject({ conveyor: 'line1', kind: 'chain-removed', pitches: 4, by: 'engineer' });
    expect(Math.abs(Date.now() - (entry?.timeMs ?? 0))).toBeLessThan(DAY_MS / 24);
    expect(complaints.filter((line) => !line.includes('409'))).toEqual([]);
    await page.close();
  });

  it('is written down on a phone in twelve taps and a minute by somebody who begins at the floor', async () => {
    const page = await signedInPage(browser, plant.web, { width: 360, height: 740 });
    await page.goto(`${plant.web.url}/#/`);
    const begun = performance.now();
    let taps = 0;
    const tap = async (what: Locator): Promise<void> => {
      await what.click();
      taps += 1;
    };
    await tap(page.getByRole('link', { name: /^Work/ }));
    await tap(page.getByRole('link', { name: /^Service log: write down/ }));
    // A list is opened by one tap and answered by another.
    await page.getByRole('combobox', { name: /^Take-up/ }).selectOption({ index: 1 });
    taps += 2;
    const form = page.getByRole('form', { name: 'Write down what was done' });
    await tap(form.getByRole('textbox', { name: /^Pitches taken out/ }));
    // Keys of the phone are taps too.
    await page.keyboard.type('4');
    taps += 1;
    await tap(form.getByRole('button', { name: 'Write it down' }));
    await expect.poll(() => form.getByRole('status').innerText()).toBe('Written down: 4 pitches taken out.');
    expect(service.entries.at(-1)?.body).toMatchObject({ kind: 'chain-removed', pitches: 4 });
    expect(taps).toBeLessThanOrEqual(12);
    expect(performance.now() - begun).toBeLessThan(60_000);
    await page.close();
  });

  it('shows what was struck out as struck out, and by whom', async () => {
    const { page } = await open();
    const note = entries(page, 'guard is bent');
    expect(await note.innerText()).toContain('struck out by kari');
    const line = await note.getByText('guard is bent', { exact: true }).evaluate((words) => getComputedStyle(words).textDecorationLine);
    expect(line).toBe('line-through');
    await page.close();
  });

  it('asks of each kind what it needs, in the units of the reader', async () => {
    const { page } = await open();
    const form = page.getByRole('form', { name: 'Write down what was done' });
    await form.getByLabel('What').selectOption('Spring replaced');
    await page.locator('.menu summary').click();
    await page.getByLabel('in, lbf, °F').check();
    await form.getByLabel('Side').selectOption('left');
    await form.getByLabel('Spring length as set, in').fill('10');
    await form.getByRole('button', { name: 'Write it down' }).click();
    await expect.poll(() => service.entries.at(-1)?.kind).toBe('spring-replaced');
    expect(service.entries.at(-1)?.body).toMatchObject({ takeup: 'tu1', side: 'left', spring_mm: 254, spring: { free_mm: 320 } });
    await page.close();
  });
});
