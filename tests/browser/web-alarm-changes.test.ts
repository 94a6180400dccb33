import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { AlarmEvent } from '../../agent/store/history.js';
import type { Plant } from '../web/a-plant.js';
import { nowOf } from '../web/a-takeup.js';
import { aMorning, eventsHistory } from '../web/an-alarm-history.js';
import { launchChromium } from './chromium.js';
import { complaintsOf, signedInPage, startPlantWithScreens } from './web-screens.js';

let browser: Browser;
let plant: Plant;
let page: Page;
let complaints: string[];
let events: readonly AlarmEvent[];
beforeAll(async () => {
  browser = await launchChromium();
});
afterAll(() => browser.close());
beforeEach(async () => {
  events = aMorning();
  plant = await startPlantWithScreens({ history: eventsHistory(() => events) });
  await plant.agent.now(nowOf({ time: new Date().toISOString() }));
  await plant.agent.heartbeat();
  page = await signedInPage(browser, plant.web);
  complaints = complaintsOf(page);
  await page.goto(`${plant.web.url}/#/alarms`);
});
afterEach(async () => {
  await page.close();
  await plant.stop();
});

const section = (name: string) => page.getByRole('region', { name, exact: true });

describe('the changes', () => {
  it('are narrowed by what one chooses, and are had as a file', async () => {
    const rows = section('Recent alarm changes').getByRole('row', { name: /^\d{4}-/ });
    await expect.poll(() => rows.count()).toBe(8);
    await page.getByRole('combobox', { name: 'Alarm', exact: true }).selectOption('Travel nearly used up');
    await expect.poll(() => rows.count()).toBe(2);
    expect(await rows.first().innerText()).toMatch(/2026-03-02 06:22:00.*Travel nearly used up.*acknowledged by ola/s);
    const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('link', { name: 'As a file (CSV)' }).click()]);
    expect(download.suggestedFilename()).toBe('alarm-changes-alder-point.csv');
    expect(download.url()).toContain('alarm=stroke-end');
    await page.getByRole('textbox', { name: 'From' }).fill('2026-03-03');
    await expect.poll(() => section('Changes').innerText()).toContain('No change is like that.');
  });
});

describe('the changes that cannot be had', () => {
  it('leave no row of another question standing below why they are not there, and are asked for again', async () => {
    const rows = section('Recent alarm changes').getByRole('row', { name: /^\d{4}-/ });
    await expect.poll(() => rows.count()).toBe(8);
    await page.route(/\/api\/alarms\/changes\?/, (asked) => asked.abort());
    await page.getByRole('combobox', { name: 'Alarm', exact: true }).selectOption('Travel nearly used up');
    const again = section('Changes').getByRole('button', { name: 'Try again: changes' });
    await again.waitFor();
    expect(await rows.count()).toBe(0);
    expect(await section('Changes').getByRole('status').innerText()).toBe('The Takeline server cannot be reached.');
    await page.unroute(/\/api\/alarms\/changes\?/);
    await again.click();
    await expect.poll(() => rows.count()).toBe(2);
  });
});

describe('the changes, when a question overtakes another', () => {
  it('are those of the last question, not of the slower one before it', async () => {
    events = Array.from({ length: 60 }, (_, nth) => ({
      ...(aMorning()[0] as AlarmEvent),
      id: `many${nth}`,
      timeMs: Date.parse('2026-03-02T08:41:00Z') + nth,
    }));
    await page.reload();
    const rows = section('Recent alarm changes').getByRole('row', { name: /^\d{4}-/ });
    await expect.poll(() => rows.count()).toBe(50);
    let answer = (): void => undefined;
    const held = new Promise<void>((resolve) => (answer = resolve));
    await page.route(/\/api\/alarms\/changes\?.*before=/, async (asked) => {
      await held;
      await asked.continue();
    });
    const slow = page.waitForResponse(/before=/);
    await section('Changes').getByRole('button', { name: 'Older' }).click();
    await page.getByRole('combobox', { name: 'Alarm', exact: true }).selectOption('Travel nearly used up');
    await section('Changes').getByText('No change is like that.').waitFor();
    answer();
    await (await slow).finished();
    await page.evaluate(() => new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn))));
    expect(await rows.count()).toBe(0);
  });
});

describe('judging', () => {
  it('shows the figures of a day beside what is aimed at, drawn and as tables', async () => {
    await page.goto(`${plant.web.url}/#/alarms/judged`);
    await page.getByRole('radio', { name: 'Month' }).check();
    for (let back = 0; back < 600 && !(await section('Figures').innerText()).startsWith('2026-03\n'); back++) {
      const before = await section('Figures').getByRole('heading').innerText();
      await page.getByRole('button', { name: 'Before' }).click();
      await expect.poll(() => section('Figures').getByRole('heading').innerText()).not.toBe(before);
    }
    await page.getByRole('radio', { name: 'Day' }).check();
    await expect.poll(() => section('Figures').getByRole('heading').innerText()).toMatch(/^2026-0[34]-/);
    await page.getByRole('radio', { name: 'Month' }).check();
    const row = (name: string) => section('Figures').getByRole('row', { name: new RegExp(`^${name}`) });
    await expect.poll(() => row('Chattering').innerText()).toMatch(/3\s+none\s+▲ more than aimed at/);
    expect(await row('Most alarms in 10 minutes').innerText()).toMatch(/3\s+at most 10\s*$/);
    expect(await row('Time to acknowledge').innerText()).toContain('2 min, 2 min');
    expect(await page.getByRole('table', { name: 'Ten most frequent' }).innerText()).toMatch(/Travel low.*3\s+75 %/s);
    const drawn = () =>
      page.getByRole('img', { name: /; the same as a table below$/ }).evaluateAll((all: HTMLCanvasElement[]) =>
        all.map((canvas) =>
          canvas
            .getContext('2d')
            ?.getImageData(0, 0, canvas.width, canvas.height)
            .data.some((value) => value > 0),
        ),
      );
    await expect.poll(drawn).toEqual([true, true]);
    await page.getByText('As a table').first().click();
    expect(
      await section('Periods')
        .getByRole('row', { name: /^2026-03-02 00:00/ })
        .innerText(),
    ).toMatch(/\s4\s+3/);
    expect(complaints).toEqual([]);
  });
});
