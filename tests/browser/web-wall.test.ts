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
/** A time at which a round of pages begins, however many there are of two to six. */
const ROUND = 60 * PAGE_MS;

let browser: Browser;
let plant: Plant;
let page: Page;
let nowMs: number;
beforeAll(async () => {
  browser = await launchChromium();
});
afterAll(() => browser.close());
beforeEach(async () => {
  nowMs = Math.ceil(Date.now() / ROUND) * ROUND;
  plant = await startPlantWithScreens({ site: siteWith(TAKEUPS), clock: { nowMs: () => nowMs } });
  for (const { id, takeups } of plant.site.conveyors) {
    for (const takeup of takeups) await plant.agent.now(nowOf({ conveyor: id, takeup: takeup.id, time: new Date(nowMs).toISOString() }));
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
  nowMs += ms;
  await plant.agent.heartbeat();
  await plant.agent.now(nowOf({ time: new Date(nowMs).toISOString() }));
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
    expect(await pageWords()).toBe('1 of 4');
    const seen = [...(await shown())];
    for (const turn of [2, 3, 4]) {
      await pass(PAGE_MS);
      await expect.poll(pageWords, { timeout: 5_000 }).toBe(`${turn} of 4`);
      seen.push(...(await shown()));
    }
    expect(new Set(seen).size).toBe(TAKEUPS);
    await pass(PAGE_MS);
    await expect.poll(pageWords, { timeout: 5_000 }).toBe('1 of 4');
  });

  it('turns them as often as its address says', async () => {
    await page.goto(`${plant.web.url}/#/wall?page=120`);
    await pass(PAGE_MS);
    await pass(PAGE_MS);
    expect(await pageWords()).toBe('1 of 4');
    await pass(6 * PAGE_MS);
    await expect.poll(pageWords, { timeout: 5_000 }).toBe('2 of 4');
  });

  it('keeps what needs someone on every page, and says it plainly', async () => {
    const alarms = [alarmOf({ alarm: 'page-unanswered', priority: 'urgent', value: 900, limit: 600, unit: 's' })];
    await plant.agent.now({ ...nowOf({ conveyor: 'line9', takeup: 'tu2', time: new Date(nowMs).toISOString() }), alarms });
    const first = page.locator('.wall .row').first();
    await expect.poll(() => first.innerText()).toContain('Page not answered');
    await pass(PAGE_MS);
    await expect.poll(pageWords, { timeout: 5_000 }).toBe('2 of 4');
    expect(await first.innerText()).toContain('Page not answered');
    expect(await page.getByRole('heading', { level: 1 }).innerText()).toBe(`Alder Point Cookware: 1 of ${TAKEUPS} needs someone`);
  });

  it('never stands quite still, so that no edge burns in', async () => {
    const at = async () => JSON.stringify(await page.locator('.wall-head h1').boundingBox());
    const places = [await at()];
    for (let minute = 0; minute < 3; minute++) {
      await pass(MINUTE_MS);
      await expect.poll(at, { timeout: 5_000 }).not.toBe(places.at(-1));
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
    await expect.poll(() => page.getByRole('alert').innerText(), { timeout: 5_000 }).toContain('No connection to the Takeline server');
    expect(await page.locator('.row.stale').count()).toBe(await page.locator('.row').count());
    await plant.startWeb();
    await expect.poll(() => page.getByRole('alert').count(), { timeout: 15_000 }).toBe(0);
  });

  it('is left with Escape', async () => {
    await page.keyboard.press('Escape');
    await page.getByRole('navigation', { name: 'Screens' }).waitFor();
    expect(await page.getByRole('searchbox').count()).toBe(1);
  });
});
