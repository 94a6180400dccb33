import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { siteWith } from '../web/a-site.js';
import { alarmOf, nowOf } from '../web/a-takeup.js';
import { launchChromium } from './chromium.js';
import { layoutFaults } from './layout-faults.js';
import { signedInPage, startPlantWithScreens } from './web-screens.js';

let browser: Browser;
beforeAll(async () => {
  browser = await launchChromium();
});
afterAll(() => browser.close());

/** A wall of so many take-ups, each of them with an alarm: how far down it goes, and how large its figures are; px. */
async function wallOf(takeups: number, width: number, height: number) {
  const plant = await startPlantWithScreens({ site: siteWith(takeups) });
  try {
    const time = new Date().toISOString();
    for (const { id, takeups: those } of plant.site.conveyors)
      for (const takeup of those) await plant.agent.now({ ...nowOf({ conveyor: id, takeup: takeup.id, time }), alarms: [alarmOf()] });
    await plant.agent.heartbeat();
    const page = await signedInPage(browser, plant.web, { width, height });
    await page.goto(`${plant.web.url}/#/wall`);
    await page
      .locator('.wall .row .carriage')
      .nth(takeups - 1)
      .waitFor();
    const last = await page.locator('.wall .row').last().boundingBox();
    const figurePx = await page
      .locator('.wall .number .main')
      .first()
      .evaluate((figure) => parseFloat(getComputedStyle(figure).fontSize));
    const faults = await layoutFaults(page);
    await page.close();
    return { downToPx: (last?.y ?? Infinity) + (last?.height ?? Infinity), figurePx, faults };
  } finally {
    await plant.stop();
  }
}

describe('a wall with few take-ups', () => {
  it.each([
    [1, 1920, 1080],
    [2, 1920, 1080],
    [3, 1920, 1080],
    [3, 1600, 900],
    [2, 1280, 720],
  ])('shows all of %i on %i by %i px', async (takeups, width, height) => {
    const { downToPx, faults } = await wallOf(takeups, width, height);
    expect(downToPx).toBeLessThanOrEqual(height);
    expect(faults).toEqual([]);
  });

  it('writes the figures of one or two larger than those of three, to be read from across the hall', async () => {
    const [two, three] = [await wallOf(2, 1920, 1080), await wallOf(3, 1920, 1080)];
    expect(two.figurePx).toBeGreaterThan(1.3 * three.figurePx);
  });
});
