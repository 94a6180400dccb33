import { gzipSync } from 'node:zlib';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { Plant } from '../web/a-plant.js';
import { siteWith } from '../web/a-site.js';
import { alarmOf, nowOf } from '../web/a-takeup.js';
import { within } from './a-machine.js';
import { launchChromium } from './chromium.js';
import { lettersPx } from './pictures.js';
import { complaintsOf, signedInPage, startPlantWithScreens } from './web-screens.js';

let browser: Browser;
let plant: Plant;
let page: Page;
beforeAll(async () => {
  browser = await launchChromium();
});
afterAll(() => browser.close());
beforeEach(async () => {
  plant = await startPlantWithScreens({ site: siteWith(12) });
  for (const { id, takeups } of plant.site.conveyors) {
    for (const takeup of takeups) await plant.agent.now(nowOf({ conveyor: id, takeup: takeup.id, time: new Date().toISOString() }));
  }
  await plant.agent.heartbeat();
  page = await signedInPage(browser, plant.web, { width: 1920, height: 1080 });
  await page.locator('.carriage rect').nth(23).waitFor();
});
afterEach(async () => {
  await page.close();
  await plant.stop();
});

const row = (name: string) => page.locator('.row').filter({ hasText: name }).first();
const FIRST = 'Enamel furnace line tu1';

/** Where the left side of a take-up's carriage is drawn, as a share of its stroke. */
const drawnAt = async (name: string) => {
  const [rail, carriage] = await Promise.all([
    row(name).locator('.rail').boundingBox(),
    row(name).locator('.carriage rect').first().boundingBox(),
  ]);
  if (rail === null || carriage === null) throw new Error('nothing is drawn');
  return (carriage.x + carriage.width / 2 - rail.x) / rail.width;
};

/** Runs in the page: words of the rows in view that their own box, or the row, does not hold. Where a take-up hangs is there whole or not at all. */
function cutWords(): string[] {
  return [...document.querySelectorAll('.row')].flatMap((one) => {
    const { top, bottom } = one.getBoundingClientRect();
    return [...one.querySelectorAll('.who *, .what *, .numbers *')]
      .filter(
        (part) =>
          part.closest('svg, .unseen, dt') === null && !part.matches('.names') && part.checkVisibility({ contentVisibilityAuto: true }),
      )
      .filter((part) => {
        const box = part.getBoundingClientRect();
        // What stands within a line is held by the box of that line.
        if (getComputedStyle(part).display === 'inline') return false;
        return part.scrollWidth > part.clientWidth + 1 || box.top < top - 1 || box.bottom > bottom + 1;
      })
      .map((part) => part.textContent);
  });
}

describe('the floor', () => {
  it('shows twelve take-ups on a wall of 1920 by 1080 without scrolling', async () => {
    expect(await page.locator('.row').count()).toBe(12);
    const height = await page.evaluate(() => document.documentElement.scrollHeight);
    expect(height).toBeLessThanOrEqual(1080);
  });

  it('is no wider than a window that was made narrow, with rows that were laid out wide and are out of view', async () => {
    await page.setViewportSize({ width: 1920, height: 200 });
    const name = page.locator('.row h3').last();
    await expect.poll(() => name.evaluate((one) => one.checkVisibility({ contentVisibilityAuto: true }))).toBe(false);
    await page.setViewportSize({ width: 360, height: 200 });
    await expect.poll(() => page.evaluate(() => document.documentElement.scrollWidth)).toBe(360);
  });

  it('is there with less than 200 kB of packed script, the charts left for where one is shown', async () => {
    const names = await page.evaluate(() => performance.getEntriesByType('resource').map(({ name }) => name));
    const scripts = names.filter((name) => name.endsWith('.js'));
    const bodies = await Promise.all(scripts.map(async (name) => gzipSync(await (await fetch(name)).arrayBuffer())));
    expect(bodies.length).toBeGreaterThan(0);
    expect(bodies.reduce((sum, { length }) => sum + length, 0)).toBeLessThan(200_000);
    expect(scripts.filter((name) => name.includes('chart'))).toEqual([]);
  });

  it('moves a carriage within a second, to scale', async () => {
    expect(await drawnAt(FIRST)).toBeCloseTo(96.6 / 230, 2);
    await plant.agent.now(nowOf({ positionMm: 180, time: new Date().toISOString() }));
    await expect.poll(() => drawnAt(FIRST), within(1_000)).toBeCloseTo(180.6 / 230, 2);
    await expect.poll(() => row(FIRST).locator('.number .main').first().innerText()).toMatch(/^50\smm$/);
  });

  it('puts a take-up with an alarm first, names the alarm, and tells those who listen', async () => {
    const nameAt = (place: number) => page.locator('.row h3').nth(place).textContent();
    expect(await nameAt(11)).toBe('Packing line tu2');
    const alarms = [alarmOf({ alarm: 'spring-solid', priority: 'urgent', side: 'left', value: 150.2, limit: 151 })];
    await plant.agent.now(nowOf({ conveyor: 'line6', takeup: 'tu2', time: new Date().toISOString(), alarms }));
    await expect.poll(() => page.locator('.row').first().innerText(), within(1_500)).toContain('Spring solid, left');
    expect(await nameAt(0)).toBe('Packing line tu2');
    expect(await page.locator('[aria-live=assertive]').innerText()).toBe('Urgent alarm: Spring solid, Packing line, tu2.');
    expect(await page.getByRole('heading', { level: 1 }).innerText()).toBe('1 of 12 needs someone');
  });

  it('says what is not known, and why, and draws no carriage for it', async () => {
    const lost = { unknown: 'signal-lost' } as const;
    const side = { readingMm: lost, positionMm: lost, springMm: lost, forceN: lost };
    await plant.agent.now({
      ...nowOf(),
      time: new Date().toISOString(),
      positionMm: lost,
      remainingMm: lost,
      left: side,
      right: side,
      dayRangeMm: null,
    });
    await expect.poll(() => row(FIRST).locator('.rail-words').textContent()).toBe('unknown, sensor silent');
    expect(await row(FIRST).locator('.carriage rect').count()).toBe(0);
    expect(await row(FIRST).locator('.coil').count()).toBe(0);
  });

  it('finds take-ups by any word, and groups them by conveyor', async () => {
    await page.getByRole('searchbox').fill('enamel TU2');
    await expect.poll(() => page.locator('.row').count()).toBe(1);
    await page.getByRole('searchbox').fill('nowhere');
    expect(await page.locator('.nothing').innerText()).toContain('nowhere');
    await page.getByRole('searchbox').fill('');
    await page.getByRole('checkbox', { name: 'By conveyor' }).check();
    await expect.poll(() => page.locator('.group h2').count()).toBe(6);
    await page.getByRole('checkbox', { name: 'By conveyor' }).uncheck();
  });

  it.each([
    ['a wall', { width: 1920, height: 1080 }],
    ['a small desk', { width: 1280, height: 800 }],
    ['a phone', { width: 360, height: 740 }],
  ])('cuts no word on %s, however much there is to say, and all rows of a wide screen are as high', async (_what, size) => {
    const time = new Date().toISOString();
    const alarms = [
      alarmOf({ alarm: 'spring-near-solid', side: 'right' }),
      alarmOf({ alarm: 'stroke-end', side: 'right', state: 'returned-unacknowledged' }),
      alarmOf({ alarm: 'wear-limit-near', priority: 'low' }),
      alarmOf({ alarm: 'carriage-skew', priority: 'low' }),
    ];
    const why = 'The wear is too small against the scatter of the days to be told from none: more days will tell.';
    const trend = { ...nowOf().trend, strokeOut: null, why };
    const unknown = { unknown: 'running-unknown' } as const;
    await plant.agent.now({ ...nowOf({ time, running: null, service: { since: time, by: 'ola' }, trend, alarms }), remainingMm: unknown });
    await plant.agent.now(nowOf({ takeup: 'tu2', time, trend, alarms: alarms.slice(0, 3) }));
    const seen = await signedInPage(browser, plant.web, size);
    const busiest = seen.getByRole('listitem', { name: FIRST });
    await busiest.getByText('+2 more').waitFor();
    expect(await busiest.locator('.more').textContent()).toMatch(/^\+2 more: .+; Travel nearly used up, right$/);
    expect(await busiest.getByText('The wear is too small').getAttribute('title')).toBe(why);
    // The columns are for usual letters; a machine that draws far wider ones is not judged.
    const cut = (await lettersPx(seen)) < 265 ? await seen.evaluate(cutWords) : [];
    expect(cut).toEqual([]);
    const heights = await seen.locator('.row').evaluateAll((rows) => rows.map((one) => one.getBoundingClientRect().height));
    if (size.width >= 1000) expect(new Set(heights.map(Math.round)).size).toBe(1);
    await seen.close();
  });

  it('says on a small desk where a take-up hangs, and to whoever points at it', async () => {
    const seen = await signedInPage(browser, plant.web, { width: 1280, height: 720 });
    const where = seen.locator('.row').first().locator('.where');
    const words = await where.innerText();
    expect(words).not.toBe('');
    const [place, row] = [await where.boundingBox(), await seen.locator('.row').first().boundingBox()];
    if (place === null || row === null) throw new Error('nothing is drawn');
    expect(place.x).toBeGreaterThanOrEqual(row.x);
    expect(place.x + place.width).toBeLessThan(row.x + 200);
    expect(await seen.locator('.row').first().locator('.names').getAttribute('title')).toBe(words);
    await seen.close();
  });

  it.each([
    ['a large desk', { width: 1920, height: 1080 }],
    ['a small desk', { width: 1280, height: 800 }],
  ])('grows by the lines that far wider letters need on %s, and cuts none of their words', async (_what, size) => {
    const alarms = [
      alarmOf({ alarm: 'spring-near-solid', side: 'right' }),
      alarmOf({ alarm: 'stroke-end' }),
      alarmOf({ alarm: 'wear-limit-near' }),
    ];
    await plant.agent.now(nowOf({ time: new Date().toISOString(), alarms }));
    const seen = await signedInPage(browser, plant.web, size);
    await seen.getByRole('listitem', { name: FIRST }).getByText('Chain near wear limit').waitFor();
    await seen.evaluate(() => {
      const wider = new CSSStyleSheet();
      wider.replaceSync('.row * { letter-spacing: 0.22em; }');
      document.adoptedStyleSheets = [wider];
    });
    expect(await seen.evaluate(cutWords)).toEqual([]);
    await seen.close();
  });

  it('is as wide as a phone on a phone, and complains of nothing', async () => {
    const phone = await signedInPage(browser, plant.web, { width: 360, height: 740 });
    const complaints = complaintsOf(phone);
    await phone.locator('.carriage rect').first().waitFor();
    for (const hash of ['#/', '#/takeup/line1/tu1', '#/alarms', '#/people']) {
      await phone.goto(`${plant.web.url}/${hash}`);
      await phone.locator('main h1').waitFor();
      expect(await phone.evaluate(() => document.documentElement.scrollWidth)).toBe(360);
    }
    expect(complaints).toEqual([]);
    await phone.close();
  });

  it('has a ruler for every take-up on paper, those that were out of view as well', async () => {
    const phone = await signedInPage(browser, plant.web, { width: 360, height: 740 });
    await phone.locator('.carriage rect').first().waitFor();
    expect(await phone.locator('.carriage').count()).toBeLessThan(12);
    await phone.emulateMedia({ media: 'print' });
    await expect.poll(() => phone.locator('.carriage rect').count()).toBe(24);
    await phone.close();
  });

  it('takes what comes at once, and loses nothing of it: the last value of each is what stands there', async () => {
    const everything = plant.site.conveyors.flatMap(({ id, takeups }) => takeups.map((takeup) => ({ conveyor: id, takeup: takeup.id })));
    for (let positionMm = 50; positionMm <= 60; positionMm++) {
      for (const place of everything) await plant.agent.now(nowOf({ ...place, positionMm, time: new Date().toISOString() }));
    }
    await expect
      .poll(async () => (await page.locator('.row .number .main').allInnerTexts()).filter((text) => /^170\smm$/.test(text)).length)
      .toBe(12);
  });

  it('can be used with the keyboard alone', async () => {
    await page.keyboard.press('Tab');
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('To the content');
    await page.keyboard.press('Enter');
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('main');
    await page.keyboard.press('Tab');
    expect(await page.evaluate(() => document.activeElement?.getAttribute('type'))).toBe('search');
    await row(FIRST).getByRole('link').focus();
    await page.keyboard.press('Enter');
    await expect.poll(() => page.getByRole('heading', { level: 1 }).innerText()).toBe(FIRST);
  });
});
