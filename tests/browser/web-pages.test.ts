import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { SettledDayOutput } from '../../agent/flow/output.js';
import type { AlarmEvent } from '../../agent/store/history.js';
import type { Plant } from '../web/a-plant.js';
import { alarmOf, nowOf } from '../web/a-takeup.js';
import { plantDay } from '../web/plant-day.js';
import { launchChromium } from './chromium.js';
import { signedInPage, startPlantWithScreens } from './web-screens.js';

const dayOf = (daysAgo: number): SettledDayOutput => ({
  ...{
    kind: 'settled-day',
    date: plantDay(daysAgo),
    conveyor: 'line1',
    takeup: 'tu1',
    windows: 40,
    positionMm: 90,
    skewMm: 1,
  },
  ...{ breathingMm: NaN, thermalMm: 40, elasticMm: -1, pitches: 3200, elongationPct: 0.4 - daysAgo * 0.0005, wearPerJointMm: 0.3 },
  ...{ springLeftMm: 250, springRightMm: 248, strandTensionN: 1270, flag: daysAgo < 3 ? 'provisional' : 'value' },
});

const RAISED: AlarmEvent = {
  ...{
    id: 'e1',
    kind: 'alarm',
    timeMs: Date.parse('2026-03-02T08:41:00Z'),
    conveyor: 'line1',
    takeup: 'tu1',
    alarm: 'stroke-end',
    priority: 'high',
  },
  ...{ change: 'raised', from: 'normal', to: 'unacknowledged', value: 8.2, limit: 11.5, unit: 'mm' },
};

let browser: Browser;
let plant: Plant;
let page: Page;
beforeAll(async () => {
  browser = await launchChromium();
});
afterAll(() => browser.close());
beforeEach(async () => {
  plant = await startPlantWithScreens({
    history: {
      settledDays: () => Promise.resolve([40, 39, 38, 2, 1].map(dayOf)),
      alarmEvents: () => Promise.resolve({ events: [RAISED], total: 1 }),
    },
  });
  await plant.agent.now({ ...nowOf({ positionMm: 221.8, time: new Date().toISOString() }), alarms: [alarmOf()] });
  await plant.agent.heartbeat();
  page = await signedInPage(browser, plant.web);
});
afterEach(async () => {
  await page.close();
  await plant.stop();
});

describe('a take-up near', () => {
  beforeEach(async () => {
    await page.goto(`${plant.web.url}/#/takeup/line1/tu1`);
    await page.locator('.carriage rect').first().waitFor();
  });

  it('says in a sentence what is normal and what is not', async () => {
    const sentence = await page.locator('.sentence').innerText();
    expect(sentence).toContain('before its outer stop');
    expect(sentence).toContain('Out of the ordinary: travel nearly used up.');
  });

  it('has every number with its unit, and in the other units when asked', async () => {
    const remaining = page.locator('.figure-line').filter({ hasText: 'To the outer stop' }).locator('.figure');
    expect(await remaining.innerText()).toMatch(/^8\.2\smm$/);
    await page.locator('.menu summary').click();
    await page.getByLabel('in, lbf, °F').check();
    await expect.poll(() => remaining.innerText()).toMatch(/^0\.32\sin$/);
    await page.getByLabel("The site's").check();
  });

  it('says of a take-up that is not there that it is not', async () => {
    await page.goto(`${plant.web.url}/#/takeup/line1/tu9`);
    await expect.poll(() => page.getByRole('heading', { level: 1 }).innerText()).toBe('There is no such take-up');
  });
});

describe('the alarms', () => {
  const card = () => page.getByRole('listitem', { name: 'Travel nearly used up, Enamel furnace line, tu1' });

  beforeEach(async () => {
    await page.getByRole('link', { name: /^Alarms/ }).click();
    await card().waitFor();
  });

  it('say what is seen and what to do, and what changed lately', async () => {
    expect(await card().innerText()).toContain('Take out chain at the next stop.');
    const changes = page.getByRole('region', { name: 'Recent alarm changes' }).getByRole('row', { name: /^2026-/ });
    expect(await changes.innerText()).toMatch(/2026-03-02 09:41:00.*Travel nearly used up.*raised/s);
  });

  it('are acknowledged by who may, and the agent is told by whom', async () => {
    plant.agent.answer = (_, message) => {
      void plant.agent.now({ ...nowOf({ time: new Date().toISOString() }), alarms: [alarmOf({ state: 'acknowledged' })] });
      return { ok: message.by === 'engineer', message: 'acknowledged' };
    };
    await page.getByRole('button', { name: 'Acknowledge Travel nearly used up, Enamel furnace line, tu1' }).click();
    await card().getByText('acknowledged', { exact: true }).waitFor();
    expect(plant.agent.asked).toMatchObject([{ verb: 'acknowledge', message: { by: 'engineer', alarm: 'stroke-end' } }]);
  });

  it('say so beside the button where the agent refuses', async () => {
    plant.agent.answer = () => ({ ok: false, message: 'there is no such alarm standing' });
    await page.getByRole('button', { name: /^Acknowledge/ }).click();
    await expect.poll(() => card().getByRole('alert').innerText()).toContain('There is no such alarm standing.');
  });
});
