import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readSite } from '../../agent/site/read-site.js';
import type { Plant } from '../web/a-plant.js';
import { findingOf, loggedOf, Service } from '../web/a-service.js';
import { alarmOf, nowOf } from '../web/a-takeup.js';
import { launchChromium } from './chromium.js';
import { signedInPage, startPlantWithScreens } from './web-screens.js';

/** Eighty of the widest letter without a place to break: no name is worse. */
const NAME = 'W'.repeat(80);
/** Written from the right. */
const ARABIC = 'خط إنتاج المينا رقم واحد';

const SITE = `site: { id: alder-point, name: ${NAME}, timezone: America/Argentina/ComodRivadavia, units: metric }
conveyors:
${[NAME, ARABIC].map((name, index) => conveyor(`line${index + 1}`, name)).join('')}
people:
  - { id: marta, name: ${NAME}, channels: { webhook: marta-phone } }
rota: { people: [marta], hand_over: { day: monday, at: "07:00" }, first_week: 2026-01-05 }
paging:
  ladders: { urgent: { steps: [{ after_min: 0, to: on-call }] } }
  webhook: { url: "http://127.0.0.1:9/pages", secret_file: secrets/webhook.txt }
`;

function conveyor(id: string, name: string): string {
  const side = 'position: {}, set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 250 }';
  return `
  - id: ${id}
    name: ${name}
    chain: { pitch_mm: 76.2, pitches: 3200, repeat_pitches: 2, wear_limit_pct: 2.0 }
    takeups:
      - id: tu1
        location: ${name}
        wrap_deg: 180
        stroke_mm: 230
        spring: { free_mm: 320, rate_n_per_mm: 18, solid_mm: 150, clearance_mm: 12, per_side: 1 }
        reference: { at: 2026-01-05T06:00:00Z, position_mm: 40 }
        sides: { left: { ${side} }, right: { ${side} } }
`;
}

let browser: Browser;
let plant: Plant;
let page: Page;
const service = new Service();
beforeAll(async () => {
  browser = await launchChromium();
  const reading = readSite(SITE, 'long-names.yaml');
  if (!reading.ok) throw new Error(reading.faults.map(({ key, message }) => `${key}: ${message}`).join('\n'));
  plant = await startPlantWithScreens({ site: reading.site, siteText: SITE, history: service.history });
  plant.agent.answer = () => ({ ok: true, message: 'as they stand', detail: { signals: [] } });
  service.findings = [findingOf({ text: NAME })];
  service.entries = [
    loggedOf({ id: 'n', time: '2026-02-01T08:00:00Z', conveyor: 'line1', takeup: 'tu1', kind: 'note', text: NAME, by: NAME }),
  ];
  const since = new Date().toISOString();
  const alarms = [
    alarmOf(),
    alarmOf({
      ...{ alarm: 'carriage-skew', priority: 'low', state: 'shelved' },
      shelved: { by: NAME, why: NAME, since, until: since },
    }),
  ];
  await plant.agent.now({ ...nowOf({ time: since, service: { since, by: NAME } }), alarms });
  await plant.agent.now({ ...nowOf({ conveyor: 'line2', time: since }), alarms: [alarmOf({ alarm: 'stroke-low', priority: 'medium' })] });
  await plant.agent.heartbeat();
  page = await signedInPage(browser, plant.web, { width: 360, height: 740 });
});
afterAll(async () => {
  await browser.close();
  await plant.stop();
});

const PAGES = ['', 'takeup/line1/tu1', 'alarms', 'work', 'work/plan/line1/tu1', 'work/log', 'report/line1', 'people'];
const PARTS = ['signals', 'as-read', 'loop', 'on-call', 'disk'].map((part) => `set-up/${part}`);

describe('names of one long word', () => {
  it.each([...PAGES, ...PARTS])('make no page wider than a phone: #/%s', async (hash) => {
    await page.goto(`${plant.web.url}/#/${hash}`);
    await page.getByRole('heading', { level: 1 }).first().waitFor();
    await expect
      .poll(() =>
        page
          .getByText(/^(Asking|Planning|Counting|Waiting|Reading) …$/)
          .filter({ visible: true })
          .count(),
      )
      .toBe(0);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(360);
  });

  it('leave the menu on the screen', async () => {
    await page.getByText('engineer', { exact: true }).first().click();
    const { right } = await page.getByRole('button', { name: 'Sign out' }).evaluate((button) => button.getBoundingClientRect());
    expect(right).toBeLessThanOrEqual(360);
    await page.keyboard.press('Escape');
  });

  it('leave all of the header on one line at a desk', async () => {
    await page.setViewportSize({ width: 1280, height: 720 });
    await page.goto(`${plant.web.url}/#/alarms`);
    const tops = await page
      .getByRole('navigation', { name: 'Screens' })
      .or(page.locator('.live-state, .clock'))
      .evaluateAll((parts) => parts.map((part) => part.getBoundingClientRect().bottom));
    expect(Math.max(...tops)).toBeLessThan(64);
  });

  it('that are written from the right do not tear the figure beside them apart', async () => {
    const figure = page.getByRole('listitem', { name: new RegExp(`^Travel low, ${ARABIC}`) });
    await figure.waitFor();
    await page.getByLabel('By conveyor').check();
    const rects = await page
      .getByRole('heading', { level: 3, name: new RegExp(ARABIC) })
      .locator('.of')
      .evaluate((count) => count.getClientRects().length);
    expect(rects).toBe(1);
  });
});
