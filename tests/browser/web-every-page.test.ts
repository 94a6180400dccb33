import { readFileSync } from 'node:fs';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { readSite } from '../../agent/site/read-site.js';
import type { Plant } from '../web/a-plant.js';
import { findingOf, loggedOf, Service } from '../web/a-service.js';
import { alarmOf, nowOf } from '../web/a-takeup.js';
import { engineer } from '../web/a-visitor.js';
import { faultsOf } from './accessibility.js';
import { launchChromium, openPage } from './chromium.js';
import { layoutFaults } from './layout-faults.js';
import { complaintsOf, signedInPage, startPlantWithScreens } from './web-screens.js';

const DEMO = readFileSync(new URL('../../agent/demo/alder-point.yaml', import.meta.url), 'utf8');
const SIZES = { wide: { width: 1920, height: 1080 }, phone: { width: 360, height: 740 } } as const;
/** What an office has, looked at beside the wall's. */
const DESK = { width: 1280, height: 720 };
const HEARTBEAT_MS = 10_000;

/** Every page there is, but for the sign-in, and what stands on it once it is there. */
const PAGES = [
  ['floor', '#/', '.row .carriage'],
  ['take-up', '#/takeup/enamel/tu1', '.plots canvas'],
  ['take-up that is lost', '#/takeup/drying/tu1', '.plots canvas'],
  ['alarms', '#/alarms', '.alarm-card'],
  ['alarms judged', '#/alarms/judged', 'h1'],
  ['work', '#/work', 'h1'],
  ['plan', '#/work/plan/enamel/tu1', 'h1'],
  ['job card', '#/work/card/1', 'h1'],
  ['service log', '#/work/log', 'h1'],
  ['report', '#/report/enamel', 'h1'],
  ['bench', '#/bench', 'h1'],
  ['signals', '#/set-up/signals', 'tbody tr, .signal-card'],
  ['site as read', '#/set-up/as-read', '.as-read'],
  ['springs from wire', '#/set-up/springs', '.spring-figures'],
  ['tension around the loop', '#/set-up/loop', '.loop canvas'],
  ['site file', '#/set-up/site-file', '.site-file [aria-live] p'],
  ['people and rota', '#/set-up/on-call', 'h2'],
  ['disk', '#/set-up/disk', '.disk tbody tr, .disk-card'],
  ['password and people', '#/people', '.person-list li'],
  ['wall', '#/wall', '.wall .row'],
  ['no such page', '#/nowhere', 'h1'],
] as const;

let browser: Browser;
let plant: Plant;
let beating: NodeJS.Timeout;
const service = new Service();

beforeAll(async () => {
  browser = await launchChromium();
  const reading = readSite(DEMO, 'alder-point.yaml');
  if (!reading.ok) throw new Error('the demo site can be read');
  plant = await startPlantWithScreens({ site: reading.site, history: service.history, siteText: DEMO });
  plant.agent.answer = (verb, message) =>
    verb === 'signals'
      ? { ok: true, message: 'as they stand', detail: { signals: [] } }
      : (service.answer?.(verb, message) ?? { ok: true, message: '' });
  service.findings = [findingOf({ conveyor: 'enamel', takeup: 'tu1' })];
  service.entries = [
    loggedOf({ id: 'r', time: '2026-02-03T08:00:00Z', conveyor: 'enamel', kind: 'chain-removed', pitches: 2, by: 'ola' }),
    loggedOf({ id: 'n', time: '2026-02-01T08:00:00Z', conveyor: 'enamel', takeup: 'tu1', kind: 'note', text: 'guard is bent', by: 'ola' }),
  ];
  const time = new Date().toISOString();
  const everything = plant.site.conveyors.flatMap(({ id, takeups }) =>
    takeups.map((takeup) => ({ conveyor: id, takeup: takeup.id, time })),
  );
  for (const place of everything) await plant.agent.now(nowOf(place));
  const lost = { unknown: 'signal-lost' } as const;
  const side = { readingMm: lost, positionMm: lost, springMm: lost, forceN: lost };
  await plant.agent.now({
    ...nowOf({ conveyor: 'drying', takeup: 'tu1', time, left: side, right: side, dayRangeMm: null, running: null }),
    ...{ positionMm: lost, remainingMm: lost, skewMm: lost, strandTensionN: lost },
    alarms: [alarmOf({ alarm: 'signal-lost', priority: 'medium', value: lost, limit: 30, unit: 's' })],
  });
  await plant.agent.now({
    ...nowOf({ conveyor: 'enamel', takeup: 'tu1', time, positionMm: 240, service: { since: time, by: 'ola' } }),
    alarms: [
      alarmOf({ alarm: 'spring-solid', priority: 'urgent', side: 'left' }),
      alarmOf(),
      alarmOf({ alarm: 'stroke-date', priority: 'low', state: 'acknowledged' }),
      alarmOf({ alarm: 'carriage-jump', state: 'returned-unacknowledged' }),
      alarmOf({
        alarm: 'carriage-skew',
        priority: 'low',
        state: 'shelved',
        shelved: { by: 'kari', why: 'known', since: time, until: time },
      }),
    ],
  });
  await plant.agent.heartbeat();
  beating = setInterval(() => void plant.agent.heartbeat(), HEARTBEAT_MS);
  const boss = await engineer(plant.web);
  await vi.waitFor(
    async () => {
      const job = { kind: 'removal', pitches: 4 };
      const asked = { request: 'every-page', conveyor: 'enamel', takeup: 'tu1', job, wish: { units: 'metric' } };
      const response = await boss.ask('POST', '/api/cards', asked);
      if (response.status !== 201) throw new Error(await response.text());
    },
    { timeout: 60_000, interval: 100 },
  );
});
afterAll(async () => {
  clearInterval(beating);
  await browser.close();
  await plant.stop();
});

describe.each(Object.keys(SIZES) as (keyof typeof SIZES)[])('%s', (size) => {
  describe.each(['light', 'dark'] as const)('and %s', (colorScheme) => {
    let page: Page;
    let complaints: string[];
    beforeAll(async () => {
      page = await signedInPage(browser, plant.web, SIZES[size]);
      await page.emulateMedia({ colorScheme });
      complaints = complaintsOf(page);
    });
    afterAll(() => page.close());

    it.each(PAGES)(
      'the page %s can be read and used by everybody, is no wider than the screen, and nothing on it is cut',
      async (_name, hash, there) => {
        await page.goto(`${plant.web.url}/${hash}`);
        await page.locator('main h1').first().waitFor();
        await page.locator(there).first().waitFor();
        expect(await faultsOf(page)).toEqual([]);
        // A wall is never quite still, and does not scroll.
        const moved = hash === '#/wall' ? 2 : 0;
        expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(SIZES[size].width + moved);
        // Colours lay nothing elsewhere, and a wall has no other size.
        if (colorScheme === 'light' && hash !== '#/wall') {
          expect(await layoutFaults(page)).toEqual([]);
          if (size === 'wide') {
            await page.setViewportSize(DESK);
            await expect.poll(() => layoutFaults(page)).toEqual([]);
            await page.setViewportSize(SIZES.wide);
          }
        }
        expect(complaints.splice(0)).toEqual([]);
      },
    );

    it('so does the sign-in', async () => {
      const stranger = await openPage(browser, plant.web.url, SIZES[size]);
      await stranger.emulateMedia({ colorScheme });
      await stranger.getByLabel('Name').waitFor();
      expect(await faultsOf(stranger)).toEqual([]);
      await stranger.close();
    });

    it('a chart takes the colours of a device that turns dark, or light', async () => {
      await page.goto(`${plant.web.url}/#/takeup/enamel/tu1`);
      const chart = page.locator('.plots canvas').first();
      await chart.waitFor();
      const drawn = () => chart.evaluate((canvas) => (canvas as HTMLCanvasElement).toDataURL());
      let before = '';
      // It stands still once two looks are alike.
      await expect
        .poll(async () => {
          const last = before;
          before = await drawn();
          return before === last;
        })
        .toBe(true);
      await page.emulateMedia({ colorScheme: colorScheme === 'light' ? 'dark' : 'light' });
      await expect.poll(async () => (await drawn()) === before).toBe(false);
      await page.emulateMedia({ colorScheme });
    });
  });
});

describe('what is looked through', () => {
  it.each([
    ['cut', '.page h1 { width: 1rem; overflow: hidden; white-space: nowrap; }'],
    ['beyond the edge', '.page h1 { margin-left: 1700px; width: 20rem; }'],
    ['over one another', '.page h1 { height: 0; }'],
  ])('tells of words that are %s', async (fault, styles) => {
    const page = await signedInPage(browser, plant.web, SIZES.wide);
    await page.goto(`${plant.web.url}/#/nowhere`);
    await page.locator('main h1').waitFor();
    await page.evaluate(async (text) => {
      document.adoptedStyleSheets = [await new CSSStyleSheet().replace(text)];
    }, styles);
    expect((await layoutFaults(page)).join()).toContain(fault);
    await page.close();
  });
});
