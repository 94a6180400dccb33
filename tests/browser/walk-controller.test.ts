import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { startWorks, TRAVEL_ALARM, type Works } from './a-works.js';
import { launchChromium } from './chromium.js';
import { signedInPage } from './web-screens.js';

const ENAMEL = 'Enamel furnace line tu1';

let browser: Browser;
let works: Works;
let page: Page;
beforeAll(async () => {
  browser = await launchChromium();
});
afterAll(() => browser.close());
beforeEach(async () => {
  works = await startWorks();
  page = await signedInPage(browser, works.plant.web, { width: 1920, height: 1080 });
});
afterEach(async () => {
  await page.close();
  await works.stop();
});

const screens = () => page.getByRole('navigation', { name: 'Screens' });
const row = (name: string) => page.getByRole('listitem', { name, exact: true });
const menu = () => page.getByText('engineer', { exact: true });

describe('a controller', () => {
  it('sees who needs someone first, finds any take-up by a word, and has them by conveyor', async () => {
    await page.getByRole('heading', { name: '1 of 7 needs someone' }).waitFor();
    await page
      .getByRole('listitem')
      .filter({ has: page.getByRole('heading', { level: 3 }) })
      .first()
      .getByText('Travel nearly used up')
      .waitFor();
    await row(ENAMEL).getByRole('img', { name: /240/ }).first().waitFor();
    await page.getByRole('searchbox', { name: /^Search/ }).fill('packing');
    await expect.poll(() => row(ENAMEL).count()).toBe(0);
    await row('Packing line tu1').waitFor();
    await page.getByRole('searchbox', { name: /^Search/ }).fill('');
    await page.getByRole('checkbox', { name: 'By conveyor' }).check();
    await page.getByRole('heading', { name: 'Overhead hall conveyor', level: 2 }).waitFor();
  });

  it('goes from the alarm to what to do, takes it, looks at the take-up, and comes back to the figures of the month', async () => {
    await screens()
      .getByRole('link', { name: /^Alarms/ })
      .click();
    const standing = page.getByRole('region', { name: 'Standing' });
    await standing.getByText('Take out chain at the next stop.').waitFor();
    await standing.getByText('Time to respond: 2 h.').waitFor();
    await standing.getByRole('button', { name: `Acknowledge ${TRAVEL_ALARM}` }).click();
    await standing.getByText('acknowledged', { exact: true }).waitFor();
    await standing.getByRole('link', { name: 'Enamel furnace line, tu1' }).click();
    await page.getByRole('heading', { name: ENAMEL, level: 1 }).waitFor();
    await page.getByText(/^The carriage stands 20\smm before its outer stop/).waitFor();
    await page.goBack();
    await page.getByRole('link', { name: 'Judged' }).click();
    await page.getByRole('radio', { name: 'Month' }).check();
    await page.getByRole('row', { name: /^Most alarms in 10 minutes/ }).waitFor();
    await page.getByRole('button', { name: 'Before' }).click();
    await page.getByRole('row', { name: /^Chattering/ }).waitFor();
    expect(works.plant.agent.asked).toMatchObject([{ verb: 'acknowledge', message: { by: 'engineer', alarm: 'stroke-end' } }]);
  });

  it('has inches and a dark screen for oneself, also after a reload', async () => {
    await menu().click();
    await page.getByRole('group', { name: 'Units' }).getByRole('radio', { name: 'in, lbf, °F' }).check();
    await page.getByRole('group', { name: 'Colours' }).getByRole('radio', { name: 'Dark' }).check();
    await row(ENAMEL)
      .getByText(/^0\.8\sin$/)
      .waitFor();
    const ground = () => page.evaluate(() => getComputedStyle(document.body).backgroundColor);
    const dark = await ground();
    await page.reload();
    await row(ENAMEL)
      .getByText(/^0\.8\sin$/)
      .waitFor();
    expect(await ground()).toBe(dark);
    await menu().click();
    await page.getByText('All times are of Europe/Oslo, the site’s clock.').waitFor();
    await page.getByRole('group', { name: 'Colours' }).getByRole('radio', { name: 'Light' }).check();
    expect(await ground()).not.toBe(dark);
  });

  it('puts the floor on the wall, where nothing is left to press, and takes it back', async () => {
    await menu().click();
    await page.getByRole('link', { name: /^For a wall/ }).click();
    await page.getByRole('heading', { name: 'Alder Point Cookware: 1 of 7 needs someone' }).waitFor();
    expect(await page.getByRole('link').count()).toBe(0);
    expect(await page.getByRole('button').count()).toBe(0);
    await row(ENAMEL).getByText('Travel nearly used up').waitFor();
    await page.keyboard.press('Escape');
    await screens().waitFor();
  });
});
