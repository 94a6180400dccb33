import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { TakeupNow } from '../../agent/contract/messages.js';
import type { Plant } from '../web/a-plant.js';
import { siteWith } from '../web/a-site.js';
import { alarmOf, nowOf } from '../web/a-takeup.js';
import { plantDay } from '../web/plant-day.js';
import { launchChromium } from './chromium.js';
import { howFarApart, keepPicture, keptPicture, lettersPx } from './pictures.js';
import { signedInPage, startPlantWithScreens } from './web-screens.js';

// The main pages beside pictures of them that were looked at and found good, compared as from so far away that letters cannot be read:
// those of another machine pass, a page whose parts are missing or elsewhere does not. TAKELINE_KEEP_PICTURES=1 keeps new ones, to be looked at.

const KEEP = process.env['TAKELINE_KEEP_PICTURES'] === '1';
const WIDE = { width: 1920, height: 1080 };
const PHONE = { width: 360, height: 740 };
const DAY_MS = 86_400_000;
const HEARTBEAT_MS = 10_000;

const PAGES = [
  ['floor', '#/', '.row .carriage'],
  ['take-up', '#/takeup/line1/tu1', '.plots canvas'],
  ['alarms', '#/alarms', '.alarm-card'],
  ['work', '#/work', '.work-takeups .alarm-line'],
] as const;
/** Nobody hangs a phone on the wall. */
const WIDE_PAGES = [...PAGES, ['wall', '#/wall', '.wall .carriage']] as const;
const LOOKS = [
  ['wide-light', WIDE, 'light'],
  ['wide-dark', WIDE, 'dark'],
  ['phone-light', PHONE, 'light'],
] as const;

let browser: Browser;
let plant: Plant;
let beating: NodeJS.Timeout;
beforeAll(async () => {
  browser = await launchChromium();
  plant = await startPlantWithScreens({ site: siteWith(12) });
  for (const now of pictures()) await plant.agent.now(now);
  await plant.agent.heartbeat();
  beating = setInterval(() => void plant.agent.heartbeat(), HEARTBEAT_MS);
});
afterAll(async () => {
  clearInterval(beating);
  await browser.close();
  await plant.stop();
});

/** Twelve take-ups of which three need someone, all dates as far off at every run. */
function pictures(): readonly TakeupNow[] {
  const time = new Date().toISOString();
  const since = new Date(Date.now() - 2 * DAY_MS).toISOString();
  const places = plant.site.conveyors.flatMap(({ id, takeups }) =>
    takeups.map(({ id: takeup, strokeMm }) => ({ conveyor: id, takeup, strokeMm })),
  );
  return places.map(({ conveyor, takeup, strokeMm }, index) => {
    const days = 60 + 40 * index;
    const positionMm = index === 0 ? strokeMm - 8 : strokeMm * (0.25 + 0.05 * index);
    const strokeOut = { date: plantDay(-days), early: plantDay(-0.8 * days), late: plantDay(-1.3 * days) };
    const trend = { ...nowOf().trend, travelMmPerDay: (strokeMm - positionMm) / days, strokeOut };
    const alarms = [
      ...(index === 0 ? [alarmOf({ since })] : []),
      ...(index === 1 ? [alarmOf({ alarm: 'spring-near-solid', side: 'left', since, value: 171, limit: 174 })] : []),
      ...(index === 2 ? [alarmOf({ alarm: 'carriage-skew', priority: 'low', state: 'acknowledged', since })] : []),
    ];
    return { ...nowOf({ conveyor, takeup, time, positionMm, trend, alarms }), remainingMm: strokeMm - positionMm };
  });
}

async function opened(page: Page, hash: string, there: string): Promise<void> {
  await page.goto(`${plant.web.url}/${hash}`);
  await page.locator(there).first().waitFor();
  await page.evaluate(() => document.fonts.ready);
}

/** How wide the letters were with which the pictures were kept. */
const KEPT_LETTERS_PX = 255.5;

/**
 * How much of a page may differ. With the letters of the pictures hardly anything does; with others, lines break elsewhere, on a phone
 * most of all, and only a page that is plainly broken is told.
 */
async function mayDiffer(page: Page): Promise<number> {
  if (Math.abs((await lettersPx(page)) / KEPT_LETTERS_PX - 1) < 0.01) return 0.02;
  return (page.viewportSize()?.width ?? 0) < 800 ? 0.45 : 0.06;
}

describe.each(LOOKS)('%s', (look, size, colorScheme) => {
  let page: Page;
  beforeAll(async () => {
    page = await signedInPage(browser, plant.web, size);
    await page.emulateMedia({ colorScheme });
  });
  afterAll(() => page.close());

  it.each(size === WIDE ? WIDE_PAGES : PAGES)('the page %s looks as it did when it was found good', async (name, hash, there) => {
    await opened(page, hash, there);
    if (KEEP) await keepPicture(browser, `${name}-${look}`, await page.screenshot());
    const kept = keptPicture(`${name}-${look}`);
    if (kept === undefined) throw new Error(`no picture is kept of ${name}-${look}`);
    // Charts come a little later than the rest.
    await expect
      .poll(async () => howFarApart(browser, await page.screenshot(), kept), { interval: 500 })
      .toBeLessThan(await mayDiffer(page));
  });
});

describe('the comparison', () => {
  let page: Page;
  beforeAll(async () => {
    page = await signedInPage(browser, plant.web, WIDE);
  });
  afterAll(() => page.close());

  /** How far the floor is from its picture once something was done to its styles. */
  const floorWith = async (styles: string): Promise<number> => {
    await page.evaluate(() => (document.adoptedStyleSheets = []));
    await opened(page, '#/', '.row .carriage');
    // As a constructed sheet, which the page's content policy lets through.
    await page.evaluate(async (text) => {
      const sheet = await new CSSStyleSheet().replace(text);
      document.adoptedStyleSheets = [sheet];
    }, styles);
    return howFarApart(browser, await page.screenshot(), keptPicture('floor-wide-light') ?? Buffer.alloc(0));
  };

  it.each([
    ['wider letters', "html { font-family: 'DejaVu Sans', Verdana, sans-serif; }"],
    ['letters with serifs', "html { font-family: 'DejaVu Serif', 'Liberation Serif', serif; }"],
  ])('lets %s pass', async (_what, styles) => {
    expect(await floorWith(styles)).toBeLessThan(await mayDiffer(page));
  });

  it.each([
    ['no springs', '.springs { visibility: hidden; }'],
    ['no rulers', '.ruler { visibility: hidden; }'],
    ['columns in another place', '.floor { --columns: 12rem 12rem 30rem 1fr 17rem; }'],
    ['rows that lie over one another', '.rows { gap: 0 !important; } .row { height: 60px !important; min-height: 0 !important; }'],
    ['alarms without their colour', ".row[class*='priority-'] { background: var(--sheet) !important; }"],
    ['letters that nobody can read', '.floor { color: var(--sheet); --ink-2: var(--sheet); }'],
    ['no styles at all', '* { all: revert !important; }'],
  ])('does not let pass %s', async (_what, styles) => {
    expect(await floorWith(styles)).toBeGreaterThan(0.02);
  });
});
