import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { Plant } from '../web/a-plant.js';
import { siteWith } from '../web/a-site.js';
import { alarmOf, nowOf } from '../web/a-takeup.js';
import { launchChromium } from './chromium.js';
import { signedInPage, startPlantWithScreens } from './web-screens.js';

const TAKEUPS = 40;
const PAGE_MS = 15_000;
const MINUTE_MS = 60_000;
const HOUR_MS = 3_600_000;
/** Four pages begin anew with it, also where each stands for an hour. */
const ROUND_MS = 4 * HOUR_MS;

let browser: Browser;
let plant: Plant;
let page: Page;
let aheadMs: number;
const now = () => Date.now() + aheadMs;
beforeAll(async () => {
  browser = await launchChromium();
});
afterAll(() => browser.close());
beforeEach(async () => {
  aheadMs = ROUND_MS - (Date.now() % ROUND_MS);
  plant = await startPlantWithScreens({ site: siteWith(TAKEUPS), clock: { nowMs: now } });
  for (const { id, takeups } of plant.site.conveyors) {
    for (const takeup of takeups) await plant.agent.now(nowOf({ conveyor: id, takeup: takeup.id, time: new Date(now()).toISOString() }));
  }
  await plant.agent.heartbeat();
  page = await signedInPage(browser, plant.web, { width: 1920, height: 1080 });
  await page.goto(`${plant.web.url}/#/wall`);
  await page.locator('.wall .row').first().waitFor();
});
afterEach(async () => {
  await page.close();
  await plant.stop();
});

/** Lets time pass on the plant's clock; the agent goes on being heard. */
async function pass(ms: number): Promise<void> {
  aheadMs += ms;
  await plant.agent.heartbeat();
  await plant.agent.now(nowOf({ time: new Date(now()).toISOString() }));
}
const shown = () => page.locator('.wall .row h3').allInnerTexts();
const pageWords = () => page.locator('.wall-page').innerText();

describe('a wall', () => {
  it('has nothing to press, and fits without scrolling', async () => {
    for (const role of ['button', 'link', 'checkbox', 'radio', 'searchbox', 'textbox', 'combobox', 'slider'] as const) {
      expect(await page.getByRole(role).count(), role).toBe(0);
    }
    const last = await page.locator('.wall .row').last().boundingBox();
    expect((last?.y ?? 0) + (last?.height ?? 0)).toBeLessThanOrEqual(1080);
    expect(await page.getByRole('heading', { level: 1 }).innerText()).toBe(`Alder Point Cookware: Nothing stands`);
  });

  it('turns its pages by itself and leaves no take-up out', async () => {
    const seen = new Map<string, readonly string[]>();
    // A busy machine may let a page go by: it comes again.
    for (let turn = 0; turn < 12 && seen.size < 4; turn++) {
      const words = await pageWords();
      seen.set(words, await shown());
      await pass(PAGE_MS);
      await expect.poll(pageWords).not.toBe(words);
    }
    expect([...seen.keys()].toSorted()).toEqual(['1 of 4', '2 of 4', '3 of 4', '4 of 4']);
    expect(new Set([...seen.values()].flat()).size).toBe(TAKEUPS);
  });

  it('has a page drawn before its turn, where nobody sees or hears it, so that nothing stops while it is turned', async () => {
    await pass(PAGE_MS - 3_000);
    await page.waitForFunction(() => {
      const rows = [...document.querySelectorAll('.wall .ahead .row')];
      if (rows.length === 0 || !rows.every((row) => row.querySelector('.carriage rect') !== null)) return false;
      Object.assign(globalThis, { drawnAhead: rows });
      return true;
    });
    expect(await page.locator('.wall .ahead .row').first().isVisible()).toBe(false);
    const words = await pageWords();
    const told = await page.getByRole('heading', { level: 3 }).count();
    expect(told).toBe(await page.locator('.wall .rows:not(.ahead) .row').count());
    await pass(3_000);
    await expect.poll(pageWords).not.toBe(words);
    const same = await page.evaluate(() => {
      const drawn = (globalThis as unknown as { drawnAhead: readonly Element[] }).drawnAhead;
      return drawn.every((row) => row.isConnected && getComputedStyle(row).visibility === 'visible');
    });
    expect(same).toBe(true);
  });

  it('turns them as often as its address says', async () => {
    await page.goto(`${plant.web.url}/#/wall?page=3600`);
    await expect.poll(pageWords).toBe('1 of 4');
    await pass(2 * PAGE_MS);
    expect(await pageWords()).toBe('1 of 4');
    await pass(HOUR_MS);
    await expect.poll(pageWords).toBe('2 of 4');
  });

  it('keeps what needs someone on every page, and says it plainly', async () => {
    const alarms = [alarmOf({ alarm: 'page-unanswered', priority: 'urgent', value: 900, limit: 600, unit: 's' })];
    await plant.agent.now({ ...nowOf({ conveyor: 'line9', takeup: 'tu2', time: new Date(now()).toISOString() }), alarms });
    const first = page.locator('.wall .row').first();
    await expect.poll(() => first.innerText()).toContain('Page not answered');
    const words = await pageWords();
    await pass(PAGE_MS);
    await expect.poll(pageWords).not.toBe(words);
    expect(await first.innerText()).toContain('Page not answered');
    expect(await page.getByRole('heading', { level: 1 }).innerText()).toBe(`Alder Point Cookware: 1 of ${TAKEUPS} needs someone`);
  });

  it('never stands quite still, so that no edge burns in', async () => {
    const at = async () => JSON.stringify(await page.locator('.wall-head h1').boundingBox());
    const places = [await at()];
    for (let minute = 0; minute < 3; minute++) {
      await pass(MINUTE_MS);
      await expect.poll(at).not.toBe(places.at(-1));
      places.push(await at());
    }
    expect(new Set(places).size).toBe(4);
  });

  it('says plainly that the agent is silent, and cuts no row off for it', async () => {
    await plant.agent.heartbeat(false);
    await expect.poll(() => page.getByRole('alert').innerText()).toContain('The agent has stopped: nothing is being watched');
    await expect.poll(() => page.locator('.wall-head').innerText()).toContain('Agent silent');
    expect(await page.locator('.wall .row').count()).toBe(await page.locator('.wall .row.stale').count());
    await expect
      .poll(async () => {
        const last = await page.locator('.wall .row').last().boundingBox();
        return (last?.y ?? 0) + (last?.height ?? 0);
      })
      .toBeLessThanOrEqual(1080);
  });

  it('says plainly that its own line is broken, and comes back by itself', async () => {
    await plant.stopWeb();
    await expect.poll(() => page.getByRole('alert').innerText()).toContain('No connection to the Takeline server');
    expect(await page.locator('.row.stale').count()).toBe(await page.locator('.row').count());
    await plant.startWeb();
    await expect.poll(() => page.getByRole('alert').count()).toBe(0);
  });

  it('is left with Escape', async () => {
    await page.keyboard.press('Escape');
    await page.getByRole('navigation', { name: 'Screens' }).waitFor();
    expect(await page.getByRole('searchbox').count()).toBe(1);
  });
});
