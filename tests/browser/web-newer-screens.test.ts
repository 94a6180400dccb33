import type { Browser, Page, Request } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { Plant } from '../web/a-plant.js';
import { launchChromium } from './chromium.js';
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
  await plant.agent.heartbeat();
  page = await signedInPage(browser, plant.web);
});
afterEach(async () => {
  await page.close();
  await plant.stop();
});

const notice = () => page.getByRole('status').filter({ hasText: 'Takeline was brought up to date' });
const isLoad = (request: Request) => request.isNavigationRequest() && request.url() === `${plant.web.url}/`;

/** The server stops and comes back, with screens whose script has another name, as every other version of it has. */
async function comesBack(screens: 'the same' | 'newer'): Promise<void> {
  if (screens === 'newer') {
    await page.route(`${plant.web.url}/`, async (route) => {
      if (route.request().isNavigationRequest()) return route.continue();
      const response = await route.fetch();
      return route.fulfill({ response, body: (await response.text()).replace(/src="[^"]+\.js"/, 'src="/assets/index-newer.js"') });
    });
  }
  await plant.stopWeb();
  await page.getByRole('alert').filter({ hasText: 'No connection' }).waitFor();
  const looked = page.waitForResponse((response) => response.url() === `${plant.web.url}/`, { timeout: 30_000 });
  await plant.startWeb();
  await (await looked).finished();
}

describe('a page that stayed open while the program was brought up to date', () => {
  it('says so, and is loaded anew when the person wants it', async () => {
    await comesBack('newer');
    await notice().waitFor();
    const loaded = page.waitForRequest(isLoad);
    await page.getByRole('button', { name: 'Load the page anew' }).click();
    await loaded;
    await page.getByRole('heading', { level: 1 }).waitFor();
    expect(await notice().count()).toBe(0);
  });

  it('says nothing where the screens are the same', async () => {
    await comesBack('the same');
    await expect.poll(() => page.getByRole('alert').filter({ hasText: 'No connection' }).count()).toBe(0);
    expect(await notice().count()).toBe(0);
  });

  it('is loaded anew by itself on a wall', async () => {
    await page.goto(`${plant.web.url}/#/wall`);
    await page.locator('.wall').waitFor();
    const loaded = page.waitForRequest(isLoad, { timeout: 40_000 });
    await comesBack('newer');
    expect((await loaded).isNavigationRequest()).toBe(true);
    await page.locator('.wall').waitFor();
  });
});
