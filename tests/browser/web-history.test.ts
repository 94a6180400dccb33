import { readFile } from 'node:fs/promises';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { SettledDayOutput } from '../../agent/flow/output.js';
import type { HistoryPoint, MinuteQuery } from '../../agent/store/history.js';
import { dateOfDayNumber, dayNumberOf } from '../../agent/units/local-day.js';
import type { Plant } from '../web/a-plant.js';
import { loggedOf } from '../web/a-service.js';
import { nowOf } from '../web/a-takeup.js';
import { launchChromium } from './chromium.js';
import { complaintsOf, signedInPage, startPlantWithScreens } from './web-screens.js';

const HOUR = 3_600_000;
const today = () => dayNumberOf(new Date().toISOString().slice(0, 10));

const dayOf = (daysAgo: number): SettledDayOutput => ({
  ...{ kind: 'settled-day', date: dateOfDayNumber(today() - daysAgo), conveyor: 'line1', takeup: 'tu1', windows: 40 },
  ...{ positionMm: 96 - daysAgo * 0.5, skewMm: 1, breathingMm: NaN, thermalMm: 40, elasticMm: -1, pitches: 3200 },
  ...{ elongationPct: 0.4 - daysAgo * 0.0005, wearPerJointMm: 0.3, springLeftMm: 250, springRightMm: 248, strandTensionN: 1270 },
  flag: daysAgo < 3 ? 'provisional' : 'value',
});

/** An hour a row, but for one day on which nothing was read. */
const hours = ({ fromMs, toMs }: MinuteQuery) => {
  const points: (HistoryPoint | null)[] = [];
  for (let timeMs = Math.ceil(fromMs / HOUR) * HOUR; timeMs < toMs && timeMs < Date.now(); timeMs += HOUR) {
    const silent = Math.abs(timeMs - (today() - 5) * 24 * HOUR) < 12 * HOUR;
    points.push(silent ? null : { timeMs, count: 60, minMm: 90, maxMm: 97, meanMm: 94, springMinMm: 247, tensionN: 1260 });
  }
  return Promise.resolve({ widthMs: HOUR, points });
};
const REMOVED = loggedOf({
  ...{ id: 'r', time: new Date(Date.now() - 39 * 24 * HOUR).toISOString(), conveyor: 'line1', kind: 'chain-removed', pitches: 2 },
});

let browser: Browser;
let plant: Plant;
let page: Page;
let complaints: string[];
beforeAll(async () => {
  browser = await launchChromium();
});
afterAll(() => browser.close());
beforeEach(async () => {
  plant = await startPlantWithScreens({
    history: {
      settledDays: () => Promise.resolve([60, 40, 39, 38, 2, 1].map(dayOf)),
      minutes: hours,
      entries: () => Promise.resolve([REMOVED]),
    },
  });
  await plant.agent.now(nowOf({ time: new Date().toISOString() }));
  await plant.agent.heartbeat();
  page = await signedInPage(browser, plant.web);
  complaints = complaintsOf(page);
  await page.goto(`${plant.web.url}/#/takeup/line1/tu1`);
  await page.locator('.plots canvas').nth(2).waitFor();
});
afterEach(async () => {
  await page.close();
  await plant.stop();
});

const isDrawn = (canvas: number) =>
  page
    .locator('canvas')
    .nth(canvas)
    .evaluate((element: HTMLCanvasElement) => {
      const pixels = element.getContext('2d')?.getImageData(0, 0, element.width, element.height).data ?? [];
      return pixels.some((value) => value > 0);
    });
const brush = () => page.getByRole('slider', { name: /The time that is shown/ });
const shownDays = async (): Promise<number> => {
  const [from = '', to = ''] = ((await brush().getAttribute('aria-valuetext')) ?? '').split(' to ');
  return (Date.parse(`${to.replace(' ', 'T')}Z`) - Date.parse(`${from.replace(' ', 'T')}Z`)) / (24 * HOUR);
};

/** A picture as any viewer opens it: its size, and how many colours are in it. */
const opened = (bytes: Buffer) =>
  page.evaluate(async (text) => {
    const picture = await createImageBitmap(
      new Blob([Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0))], { type: 'image/png' }),
    );
    const { width, height } = picture;
    const pen = new OffscreenCanvas(width, height).getContext('2d');
    if (pen === null) throw new Error('no canvas');
    pen.drawImage(picture, 0, 0);
    const pixels = new Uint32Array(pen.getImageData(0, 0, width, height).data.buffer);
    return { width, height, colours: new Set(pixels).size };
  }, bytes.toString('base64'));

describe('the elongation of a take-up', () => {
  const elongation = () => page.getByRole('region', { name: 'Elongation, day by day' });

  it('is drawn with what happened and where it leads, and told in words', async () => {
    await expect.poll(() => isDrawn(0)).toBe(true);
    expect(await elongation().locator('.forecast-words').innerText()).toMatch(
      /It grows by 0\.00052\s%.day.*stroke used up about 2026-09-12 \(2026-07-30 to 2026-11-20\)/,
    );
    expect(await elongation().locator('.lane-mark').textContent()).toBe('\u22122');
    expect(complaints).toEqual([]);
  });

  it('is a table as well, with what happened on each day', async () => {
    await elongation().getByText('As a table').click();
    const rows = elongation().getByRole('region', { name: 'Daily values' }).locator('tbody tr');
    expect(await rows.count()).toBe(6);
    expect(await rows.first().innerText()).toMatch(/0\.3995\s.*unknown.*provisional/s);
    expect(await rows.nth(3).innerText()).toContain('2 pitches taken out');
  });

  it('can be saved as a picture and as a table', async () => {
    await expect.poll(() => isDrawn(0)).toBe(true);
    const [table] = await Promise.all([page.waitForEvent('download'), elongation().getByRole('button', { name: 'Save as CSV' }).click()]);
    expect(table.suggestedFilename()).toBe('line1-tu1-elongation.csv');
    expect(await readFile(await table.path(), 'utf8')).toMatch(/^day,elongation \(%\),position \(mm\)/);
    const [picture] = await Promise.all([page.waitForEvent('download'), elongation().getByRole('button', { name: 'Save as PNG' }).click()]);
    const { width, height, colours } = await opened(await readFile(await picture.path()));
    expect(width).toBeGreaterThan(600);
    expect(height).toBeGreaterThan(150);
    expect(colours).toBeGreaterThan(3);
  });
});

describe('the history of a take-up', () => {
  it('draws position, springs, tension and heat, and goes with the present', async () => {
    for (const canvas of [1, 2, 3, 4]) await expect.poll(() => isDrawn(canvas)).toBe(true);
    expect(await page.getByRole('button', { name: 'Now' }).getAttribute('aria-pressed')).toBe('true');
    expect(await shownDays()).toBeCloseTo(30, 1);
  });

  it('can be saved as a picture and as a table', async () => {
    const section = page.getByRole('region', { name: 'Position, springs, tension, heat' });
    await expect.poll(() => isDrawn(1)).toBe(true);
    const [picture] = await Promise.all([page.waitForEvent('download'), section.getByRole('button', { name: 'Save as PNG' }).click()]);
    expect((await opened(await readFile(await picture.path()))).height).toBeGreaterThan(300);
    const [table] = await Promise.all([page.waitForEvent('download'), section.getByRole('button', { name: 'Save as CSV' }).click()]);
    const [head = '', ...rows] = (await readFile(await table.path(), 'utf8')).trimEnd().split(/\r?\n/);
    expect(head).toContain('(mm)');
    expect(rows.length).toBeGreaterThan(300);
    // A head may have a comma in its quotes.
    const cells = (row: string): number => row.replace(/"[^"]*"/g, '').split(',').length;
    expect(new Set(rows.map(cells))).toEqual(new Set([cells(head)]));
  });

  it('is moved, widened and shown whole by keys alone', async () => {
    await brush().focus();
    await page.keyboard.press('+');
    await expect.poll(shownDays).toBeCloseTo(21, 1);
    await page.keyboard.press('Shift+ArrowLeft');
    await expect.poll(() => page.getByRole('button', { name: 'Now' }).getAttribute('aria-pressed')).toBe('false');
    await page.getByRole('group', { name: /Charts of the history/ }).focus();
    await page.keyboard.press('Home');
    await expect.poll(shownDays).toBeGreaterThan(59);
    await page.keyboard.press('-');
    await page.keyboard.press('End');
    await expect.poll(() => page.getByRole('button', { name: 'Now' }).getAttribute('aria-pressed')).toBe('true');
  });

  it('is moved by dragging it, and by what is typed', async () => {
    const end = async () => ((await brush().getAttribute('aria-valuetext')) ?? '').split(' to ')[1];
    const before = await end();
    await page.locator('.plots').scrollIntoViewIfNeeded();
    const box = await page.locator('.plot').first().boundingBox();
    if (box === null) throw new Error('nothing is drawn');
    await page.mouse.move(box.x + 300, box.y + 60);
    await page.mouse.down();
    await page.mouse.move(box.x + 500, box.y + 60, { steps: 3 });
    await page.mouse.up();
    expect((await end()) ?? '').not.toBe(before);
    await page.getByLabel('to', { exact: true }).fill(`${dateOfDayNumber(today() - 20)}T12:00`);
    await expect.poll(end).toBe(`${dateOfDayNumber(today() - 20)} 12:00`);
  });

  it('has its rows as a table, without those of the silent day', async () => {
    const section = page.getByRole('region', { name: 'Position, springs, tension, heat' });
    await section.getByText('As a table').click();
    const rows = section.getByRole('region', { name: 'History' }).locator('tbody tr');
    await expect.poll(() => rows.count()).toBeGreaterThan(300);
    expect(await rows.nth(30).innerText()).toMatch(/90\.0\s+94\.0\s+97\.0\s+247\.0\s+1260\.0/);
    const times = await rows.locator('th').allInnerTexts();
    expect(times.some((time) => time.startsWith(`${dateOfDayNumber(today() - 5)} 14`))).toBe(true);
    expect(times.some((time) => time.startsWith(`${dateOfDayNumber(today() - 5)} 03`))).toBe(false);
  });
});
