import { readFileSync } from 'node:fs';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { Plant } from '../web/a-plant.js';
import { siteWith } from '../web/a-site.js';
import { alarmOf, nowOf } from '../web/a-takeup.js';
import { launchChromium } from './chromium.js';
import { signedInPage, startPlantWithScreens } from './web-screens.js';

// What stands on the main pages, in what order and under which names, as a screen reader is told it: kept as text, not as pixels, since
// letters are drawn differently on every machine. A change of a page changes its file: `npx vitest … -u` writes it anew, to be read.

const SITE = readFileSync('fixtures/replay/stroke-end/site.yaml', 'utf8');

let browser: Browser;
let plant: Plant;
let page: Page;
beforeAll(async () => {
  browser = await launchChromium();
  plant = await startPlantWithScreens({ site: siteWith(3), siteText: SITE });
  page = await signedInPage(browser, plant.web, { width: 1920, height: 1080 });
});
afterAll(async () => {
  await browser.close();
  await plant.stop();
});
beforeEach(async () => {
  const time = new Date().toISOString();
  const trend = { ...nowOf().trend, strokeOut: null, why: 'It shows no wear yet.' };
  const lost = { unknown: 'signal-lost' } as const;
  const side = { readingMm: lost, positionMm: lost, springMm: lost, forceN: lost };
  await plant.agent.now({ ...nowOf({ time, positionMm: 221.8, trend }), alarms: [alarmOf({ since: '2026-03-02T08:41:00Z' })] });
  await plant.agent.now(nowOf({ time, takeup: 'tu2', trend }));
  await plant.agent.now({
    ...nowOf({ time, conveyor: 'line2', trend, left: side, right: side, dayRangeMm: null }),
    ...{ positionMm: lost, remainingMm: lost, skewMm: lost, strandTensionN: lost, carriageForceN: lost },
  });
  await plant.agent.heartbeat();
});

/** What goes with the clock: ages, times and the day. */
function still(tree: string): string {
  return tree
    .replace(/\d+ (s|min|h|days)( old)?\b/g, '… $1$2')
    .replace(/20\d\d-\d\d-\d\d( \d\d:\d\d(:\d\d)?)?/g, 'DATE')
    .replace(/\d\d:\d\d(:\d\d)?/g, 'TIME');
}

describe('what stands on a page', () => {
  it.each([
    ['floor', '#/', '.row .carriage'],
    ['springs-from-wire', '#/set-up/springs', '.spring-figures'],
    ['site-as-read', '#/set-up/as-read', '.as-read'],
    ['wall', '#/wall', '.wall .carriage'],
  ])('%s', async (name, hash, there) => {
    await page.goto(`${plant.web.url}/${hash}`);
    await page.locator(there).first().waitFor();
    await expect.poll(() => page.locator('.live-state, .wall-head').first().innerText()).not.toContain('Waiting');
    await expect(still(await page.locator('main').ariaSnapshot())).toMatchFileSnapshot(`structure/${name}.txt`);
  });
});
