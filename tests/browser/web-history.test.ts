import { readFile } from 'node:fs/promises';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { SettledDayOutput } from '../../agent/flow/output.js';
import type { ConveyorCourse, ConveyorCourseQuery, PositionSeries, SeriesQuery } from '../../agent/store/series.js';
import { dayNumberOf } from '../../agent/units/local-day.js';
import type { Plant } from '../web/a-plant.js';
import { siteWith } from '../web/a-site.js';
import { loggedOf } from '../web/a-service.js';
import { nowOf } from '../web/a-takeup.js';
import { plantDay } from '../web/plant-day.js';
import { launchChromium } from './chromium.js';
import { complaintsOf, signedInPage, startPlantWithScreens } from './web-screens.js';

const HOUR = 3_600_000;

const dayOf = (daysAgo: number): SettledDayOutput => ({
  ...{ kind: 'settled-day', date: plantDay(daysAgo), conveyor: 'line1', takeup: 'tu1', windows: 40 },
  ...{ positionMm: 96 - daysAgo * 0.5, skewMm: 1, breathingMm: NaN, thermalMm: 40, elasticMm: -1, pitches: 3200 },
  ...{ elongationPct: 0.4 - daysAgo * 0.0005, wearPerJointMm: 0.3, springLeftMm: 250, springRightMm: 248, strandTensionN: 1270 },
  flag: daysAgo < 3 ? 'provisional' : 'value',
});

const FURNACE = 'line1/furnace/temperature';
const FURNACE_CAPTION = 'Temperature, furnace, °C (strong line: the chain, which follows late)';
const startsOf = (fromMs: number, toMs: number): readonly number[] => {
  const starts: number[] = [];
  for (let timeMs = Math.ceil(fromMs / HOUR) * HOUR; timeMs < toMs && timeMs < Date.now(); timeMs += HOUR) starts.push(timeMs);
  return starts;
};
const isSilent = (timeMs: number): boolean => Math.abs(timeMs - dayNumberOf(plantDay(5)) * 24 * HOUR) < 12 * HOUR;

/** An hour a row, but for one day on which nothing was read. */
const hours = ({ fromMs, toMs }: SeriesQuery): Promise<PositionSeries> => {
  const timeMs = startsOf(fromMs, toMs);
  const each = (value: number) => timeMs.map((ms) => (isSilent(ms) ? null : value));
  return Promise.resolve({
    ...{ source: 'hours', widthMs: HOUR, timeMs, minMm: each(90), maxMm: each(97), meanMm: each(94), settledMm: each(94) },
    ...{ springMinMm: each(247), tensionN: each(1260), tensionMinN: each(1210), tensionMaxN: each(1313) },
    count: timeMs.map((ms) => (isSilent(ms) ? 0 : 60)),
  });
};
/** It stood every night for six hours; the furnace went on. */
const course = ({ fromMs, toMs, widthMs }: ConveyorCourseQuery): Promise<ConveyorCourse> => {
  const timeMs = startsOf(fromMs, toMs);
  const stood = timeMs.map((ms) => ((ms / HOUR) % 24 < 6 ? 1 : 0));
  const each = (value: number) => timeMs.map((ms) => (isSilent(ms) ? null : value));
  return Promise.resolve({
    temperatures: [
      { signal: FURNACE, timeMs, count: timeMs.map(() => 60), minC: each(180), maxC: each(190), meanC: each(185), chainC: each(100) },
    ],
    running: { fromMs: timeMs[0] ?? fromMs, widthMs, ran: stood.map((share) => 1 - share), stood },
  });
};
const REMOVED = loggedOf({
  ...{ id: 'r', time: `${plantDay(39)}T10:00:00.000Z`, conveyor: 'line1', kind: 'chain-removed', pitches: 2 },
});

const LINE = `signals: { running: {} }
    zones: [{ id: furnace, length_mm: 60000, reference_c: 20, temperature: {}, lag_s: 600 }]`;

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
    site: siteWith(2, '', LINE),
    history: {
      settledDays: () => Promise.resolve([60, 40, 39, 38, 2, 1].map(dayOf)),
      positionSeries: hours,
      conveyorCourse: course,
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
  it('draws running, position, springs, tension, heat and temperature, and goes with the present', async () => {
    for (const canvas of [1, 2, 3, 4, 5, 6]) await expect.poll(() => isDrawn(canvas)).toBe(true);
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
    expect(head).toContain('ran (%),stood (%)');
    expect(head).toContain('temperature, furnace');
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
    await page.getByLabel('to', { exact: true }).fill(`${plantDay(20)}T12:00`);
    await expect.poll(end).toBe(`${plantDay(20)} 12:00`);
  });

  it('has its rows as a table, without those of the silent day', async () => {
    const section = page.getByRole('region', { name: 'Position, springs, tension, heat' });
    await section.getByText('As a table').click();
    const rows = section.getByRole('region', { name: 'History' }).locator('tbody tr');
    await expect.poll(() => rows.count()).toBeGreaterThan(300);
    expect(await rows.nth(30).innerText()).toMatch(
      /(running|stopped)\s+90\.0\s+94\.0\s+97\.0\s+247\.0\s+1210\.0\s+1260\.0\s+1313\.0\s+180\.0\s+185\.0\s+190\.0/,
    );
    const times = await rows.locator('th').allInnerTexts();
    expect(times.some((time) => time.startsWith(`${plantDay(5)} 14`))).toBe(true);
    expect(times.some((time) => time.startsWith(`${plantDay(5)} 03`))).toBe(false);
  });

  it('says when the conveyor ran, for whoever does not see the strip', async () => {
    const strip = page.getByRole('img', { name: /Of the time shown it ran/ });
    await expect.poll(() => strip.getAttribute('aria-label')).toMatch(/it ran 7\d %, stood 2\d %; not known \d/);
  });

  it('draws what is chosen, and remembers it on this device', async () => {
    const drawn = () => page.locator('.plot figcaption').allInnerTexts();
    await expect.poll(drawn).toContain(FURNACE_CAPTION);
    const choice = page.getByRole('group', { name: 'What is drawn' });
    await choice.getByRole('checkbox', { name: 'Temperature, furnace' }).uncheck();
    await choice.getByRole('checkbox', { name: 'Conveyor running' }).uncheck();
    await expect.poll(drawn).not.toContain(FURNACE_CAPTION);
    await page.reload();
    await page.locator('.plots canvas').nth(2).waitFor();
    expect(await page.getByRole('checkbox', { name: 'Temperature, furnace' }).isChecked()).toBe(false);
    expect(await page.getByRole('img', { name: /Of the time shown it ran/ }).count()).toBe(0);
    expect(await page.getByRole('checkbox', { name: 'Tension' }).isChecked()).toBe(true);
  });

  it('has temperatures and tension in the units that a person reads', async () => {
    await page.locator('.menu summary').click();
    await page.getByLabel('in, lbf, °F').check();
    await page.locator('.menu summary').click();
    const captions = () => page.locator('.plot figcaption').allInnerTexts();
    await expect
      .poll(captions)
      .toEqual(expect.arrayContaining(['Strand tension, lbf', 'Temperature, furnace, °F (strong line: the chain, which follows late)']));
    const section = page.getByRole('region', { name: 'Position, springs, tension, heat' });
    await section.getByText('As a table').click();
    // 1210, 1260 and 1313 N; 180, 185 and 190 °C.
    await expect
      .poll(() => section.getByRole('region', { name: 'History' }).locator('tbody tr').nth(30).innerText())
      .toMatch(/272\.0\s+283\.3\s+295\.2\s+356\.0\s+365\.0\s+374\.0/);
  });

  it('says what a point stands for', async () => {
    await expect.poll(() => page.locator('.source-words').innerText()).toBe('A point stands for 1 h, its furthest in and out kept.');
  });
});
