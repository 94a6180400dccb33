import type { Browser, Page } from 'playwright-core';
import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { SettledDayOutput } from '../../agent/flow/output.js';
import type { Plant } from '../web/a-plant.js';
import { alarmOf, nowOf } from '../web/a-takeup.js';
import { plantDay } from '../web/plant-day.js';
import { launchChromium } from './chromium.js';
import { tabTo } from './keys.js';
import { signedInPage, startPlantWithScreens } from './web-screens.js';

const SITE = readFileSync('fixtures/replay/stroke-end/site.yaml', 'utf8');

const dayOf = (daysAgo: number): SettledDayOutput => ({
  ...{ kind: 'settled-day', conveyor: 'line1', takeup: 'tu1', windows: 40, positionMm: 96, skewMm: 1, breathingMm: 2, thermalMm: 40 },
  ...{ date: plantDay(daysAgo), elasticMm: -1, pitches: 3200 },
  ...{
    elongationPct: 0.4 - daysAgo * 0.0005,
    wearPerJointMm: 0.3,
    springLeftMm: 250,
    springRightMm: 248,
    strandTensionN: 1270,
    flag: 'value',
  },
});

let browser: Browser;
let plant: Plant;
let page: Page;
beforeAll(async () => {
  browser = await launchChromium();
  plant = await startPlantWithScreens({ siteText: SITE, history: { settledDays: () => Promise.resolve([60, 40, 20, 2, 1].map(dayOf)) } });
});
afterAll(async () => {
  await browser.close();
  await plant.stop();
});
beforeEach(async () => {
  await plant.agent.now({ ...nowOf({ positionMm: 221.8, time: new Date().toISOString() }), alarms: [alarmOf()] });
  await plant.agent.heartbeat();
  page = await signedInPage(browser, plant.web);
  await page.getByRole('listitem', { name: 'Enamel furnace line tu1' }).waitFor();
});

describe('with the keyboard alone', () => {
  it('a controller acknowledges an alarm', async () => {
    plant.agent.answer = (_, message) => {
      void plant.agent.now({ ...nowOf({ time: new Date().toISOString() }), alarms: [alarmOf({ state: 'acknowledged' })] });
      return { ok: message.by === 'engineer', message: 'acknowledged' };
    };
    await tabTo(page, page.getByRole('navigation', { name: 'Screens' }).getByRole('link', { name: /^Alarms/ }));
    await page.keyboard.press('Enter');
    await tabTo(page, page.getByRole('button', { name: 'Acknowledge Travel nearly used up, Enamel furnace line, tu1' }));
    await page.keyboard.press('Enter');
    await page.getByRole('region', { name: 'Standing' }).getByText('acknowledged', { exact: true }).waitFor();
    expect(plant.agent.asked.at(-1)).toMatchObject({ verb: 'acknowledge', message: { alarm: 'stroke-end' } });
  });

  it('a technician opens a take-up, moves in its chart, and reads the table', async () => {
    await tabTo(page, page.getByRole('link', { name: 'Enamel furnace line tu1' }));
    await page.keyboard.press('Enter');
    const brush = page.getByRole('slider', { name: /The time that is shown/ });
    await tabTo(page, brush);
    const before = await brush.getAttribute('aria-valuetext');
    await page.keyboard.press('+');
    await expect.poll(() => brush.getAttribute('aria-valuetext')).not.toBe(before);
    await page.keyboard.press('Home');
    await page.goBack();
    await page.goForward();
    const elongation = page.getByRole('region', { name: 'Elongation, day by day' });
    await tabTo(page, elongation.getByText('As a table'));
    await page.keyboard.press('Enter');
    await expect.poll(() => elongation.getByRole('region', { name: 'Daily values' }).getByRole('row').count()).toBe(6);
  });

  it('an engineer edits the site file, goes to a fault, and keeps it', async () => {
    plant.agent.answer = () => ({ ok: true, message: 'kept: start the agent again to apply it', detail: { applied: false } });
    await tabTo(page, page.getByRole('navigation', { name: 'Screens' }).getByRole('link', { name: 'Set-up' }));
    await page.keyboard.press('Enter');
    await tabTo(page, page.getByRole('link', { name: 'Site file' }));
    await page.keyboard.press('Enter');
    const file = page.getByLabel(/^Site file, YAML/);
    await tabTo(page, file);
    await page.keyboard.press('Control+End');
    await page.keyboard.type('conveyers: 1');
    await tabTo(page, page.getByRole('button', { name: /^Line/ }).first());
    await page.keyboard.press('Enter');
    expect(await file.evaluate((element) => element === document.activeElement)).toBe(true);
    await page.keyboard.press('Control+End');
    for (let letter = 0; letter < 'conveyers: 1'.length; letter++) await page.keyboard.press('Backspace');
    await page.keyboard.type('# looked at in spring');
    await page.getByText('No faults.').waitFor();
    await tabTo(page, page.getByRole('button', { name: 'Keep and apply' }));
    await page.keyboard.press('Enter');
    await page.getByText('start the agent again to apply it').waitFor();
    expect(plant.agent.asked.at(-1)).toMatchObject({ verb: 'site', message: { by: 'engineer', text: `${SITE}# looked at in spring` } });
  });
});
