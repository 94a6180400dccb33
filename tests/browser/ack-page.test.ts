import type { Browser } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { signAckLink, type AckGrant } from '../../agent/process/signed-link.js';
import type { Plant } from '../web/a-plant.js';
import { siteWith } from '../web/a-site.js';
import { alarmMessageOf } from '../web/a-takeup.js';
import { seriousFaults } from './accessibility.js';
import { launchChromium, openPage } from './chromium.js';
import { startPlantWithScreens } from './web-screens.js';

const SECRET = Buffer.alloc(32, 7);
const SINCE = '2026-03-02T08:41:00Z';
const PHONE = { width: 360, height: 740 };
const GRANT: AckGrant = {
  ...{ conveyor: 'line1', takeup: 'tu1', alarm: 'stroke-end', person: 'marta' },
  ...{ sinceMs: Date.parse(SINCE), expiresMs: Date.now() + 3_600_000 },
};

let browser: Browser;
let plant: Plant;
beforeAll(async () => {
  browser = await launchChromium();
});
afterAll(() => browser.close());
beforeEach(async () => {
  process.env['TAKELINE_LINK_SECRET'] = SECRET.toString('hex');
  plant = await startPlantWithScreens({ site: { ...siteWith(2), people: [{ id: 'marta', name: 'Marta' }] } });
  await plant.agent.heartbeat();
  await plant.agent.alarm(alarmMessageOf({ state: 'unacknowledged', since: SINCE, time: new Date().toISOString() }));
});
afterEach(async () => {
  delete process.env['TAKELINE_LINK_SECRET'];
  await plant.stop();
});

const linkOf = (different: Partial<AckGrant> = {}, secret = SECRET): string =>
  `${plant.web.url}/ack/${signAckLink({ ...GRANT, ...different }, secret)}`;

describe('the page that a link in a page opens', () => {
  it('is read and used on a phone, before and after, good link or none, in light and in dark', async () => {
    const page = await openPage(browser, linkOf(), PHONE);
    const isGood = async (): Promise<void> => {
      for (const colorScheme of ['light', 'dark'] as const) {
        await page.emulateMedia({ colorScheme });
        expect(await seriousFaults(page)).toEqual([]);
        expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(PHONE.width);
      }
    };
    await expect
      .poll(async () => {
        await page.goto(linkOf());
        return page.getByText('Nobody has acknowledged it.').count();
      })
      .toBe(1);
    await isGood();
    const button = page.getByRole('button', { name: 'Acknowledge, as Marta' });
    // A gloved thumb: 44 px at least (WCAG 2.5.5).
    expect((await button.boundingBox())?.height).toBeGreaterThanOrEqual(44);
    await button.focus();
    await page.keyboard.press('Enter');
    await page.getByText('Acknowledged by Marta.').waitFor();
    expect(await page.getByRole('button').count()).toBe(0);
    await isGood();
    for (const [link, words] of [
      [linkOf({ expiresMs: Date.now() - 1 }), 'This link has expired.'],
      [linkOf({}, Buffer.alloc(32, 8)), 'This link was not made here'],
    ] as const) {
      await page.goto(link);
      await page.getByText(words).waitFor();
      await isGood();
    }
    expect(plant.agent.asked).toHaveLength(1);
    await page.close();
  });
});
