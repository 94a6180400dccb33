import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { Plant } from '../web/a-plant.js';
import { nowOf } from '../web/a-takeup.js';
import { within } from './a-machine.js';
import { launchChromium, openPage } from './chromium.js';
import { signedInPage, startPlantWithScreens } from './web-screens.js';

let browser: Browser;
let plant: Plant;
let page: Page;
beforeAll(async () => {
  browser = await launchChromium();
});
afterAll(() => browser.close());
beforeEach(async () => {
  plant = await startPlantWithScreens();
  await plant.agent.now(nowOf({ time: new Date().toISOString() }));
  await plant.agent.heartbeat();
  page = await signedInPage(browser, plant.web);
  await page.locator('.carriage rect').first().waitFor();
});
afterEach(async () => {
  await page.close();
  await plant.stop();
});

const banner = () => page.locator('.banner');

describe('a broken connection', () => {
  it('is said at once, shows everything as stale, and heals by itself', async () => {
    expect(await banner().count()).toBe(0);
    await plant.stopWeb();
    await expect.poll(() => banner().innerText(), within(2_000)).toContain('No connection to the Takeline server');
    expect(await page.locator('.row.stale').count()).toBe(2);
    expect(await page.locator('.live-state').innerText()).toBe('Stale');
    await plant.startWeb();
    await plant.agent.now(nowOf({ positionMm: 130, time: new Date().toISOString() }));
    await expect.poll(() => banner().count()).toBe(0);
    await expect.poll(() => page.locator('.row .number .main').first().innerText()).toMatch(/^100\smm$/);
  });

  it('is said when nothing comes though the line stays open', async () => {
    // The machine between goes: no packet comes, no connection ends.
    await page.context().setOffline(true);
    await expect.poll(() => banner().count()).toBe(1);
    await page.context().setOffline(false);
    await expect.poll(() => banner().count()).toBe(0);
  });
});

describe('a silent agent', () => {
  it('is said with the reason, raises its alarm, and is acknowledged here', async () => {
    await plant.agent.heartbeat(false);
    await expect.poll(() => banner().innerText()).toContain('The agent has stopped: nothing is being watched');
    expect(await page.getByRole('list', { name: 'Other alarms' }).innerText()).toContain('Agent silent');
    await page.getByRole('link', { name: /Alarms/ }).click();
    await page.getByRole('button', { name: /^Acknowledge Agent silent/ }).click();
    const alarm = page.getByRole('listitem', { name: /^Agent silent, / });
    await alarm.getByText('acknowledged', { exact: true }).waitFor();
    await plant.agent.heartbeat();
    await expect.poll(() => alarm.count()).toBe(0);
    expect(await banner().count()).toBe(0);
  });
});

describe('signing in and out', () => {
  it('says what is wrong, and leads to nothing without', async () => {
    const stranger = await openPage(browser, `${plant.web.url}/#/alarms`);
    await stranger.getByLabel('Name').fill('engineer');
    await stranger.getByLabel('Password').fill('a guess');
    const button = stranger.getByRole('button', { name: 'Sign in' });
    await button.press('Enter');
    await expect.poll(() => stranger.getByRole('alert').innerText()).toContain('Name and password do not go together');
    expect(await button.evaluate((pressed) => pressed === document.activeElement)).toBe(true);
    expect(await stranger.locator('.shell').count()).toBe(0);
    await stranger.close();
  });

  it('says that somebody is signed in still where the server is not reached', async () => {
    await plant.stopWeb();
    await page.getByText('engineer', { exact: true }).click();
    await page.getByRole('button', { name: 'Sign out' }).click();
    const words = 'You are still signed in. The Takeline server cannot be reached.';
    await expect.poll(() => page.getByRole('alert').allInnerTexts()).toContain(words);
    await plant.startWeb();
    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.getByRole('button', { name: 'Sign in' }).waitFor();
  });

  it('shows nobody the sign-in page for what came of the session before', async () => {
    let answer = (): void => undefined;
    const held = new Promise<void>((resolve) => (answer = resolve));
    let asked = 0;
    await page.route(/\/api\/alarms\/paging/, async (request) => {
      asked += 1;
      if (asked > 1) return request.continue();
      await held;
      return request.fulfill({
        status: 401,
        contentType: 'application/problem+json',
        body: '{"title":"Nobody is signed in","detail":"Sign in."}',
      });
    });
    await page.goto(`${plant.web.url}/#/alarms`);
    await expect.poll(() => asked).toBe(1);
    await page.locator('.menu summary').click();
    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.getByLabel('Name').fill(plant.web.firstPassword?.name ?? '');
    await page.getByLabel('Password').fill(plant.web.firstPassword?.password ?? '');
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.locator('.shell').waitFor();
    const late = page.waitForResponse((response) => response.status() === 401 && response.url().includes('/paging'));
    answer();
    await (await late).finished();
    await page.evaluate(() => new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn))));
    expect(await page.locator('.sign-in').count()).toBe(0);
    expect(await page.locator('.shell').count()).toBe(1);
  });

  it('ends every screen of the session', async () => {
    const context = await browser.newContext({ locale: 'en-GB', storageState: await page.context().storageState() });
    const second = await context.newPage();
    await second.goto(plant.web.url);
    await second.locator('.shell').waitFor();
    await page.locator('.menu summary').click();
    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.locator('.sign-in').waitFor();
    await second.getByRole('status').getByText('Your session has ended.', { exact: false }).waitFor();
    expect(await page.getByText('Your session has ended.', { exact: false }).count()).toBe(0);
    await context.close();
  });
});
