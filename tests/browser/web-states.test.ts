import type { Browser, Page, Route } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { Plant } from '../web/a-plant.js';
import { siteWith } from '../web/a-site.js';
import { nowOf } from '../web/a-takeup.js';
import { faultsOf } from './accessibility.js';
import { launchChromium } from './chromium.js';
import { signedInPage, startPlantWithScreens } from './web-screens.js';

const BROKEN = { type: 'about:blank', title: 'The history cannot be read', status: 500, detail: 'The disk is full.', again: true };

/** Each page with what it asks the server for. */
const PAGES = [
  ['take-up', '#/takeup/line1/tu1'],
  ['alarms', '#/alarms'],
  ['alarms judged', '#/alarms/judged'],
  ['work', '#/work'],
  ['plan', '#/work/plan/line1/tu1'],
  ['service log', '#/work/log'],
  ['report', '#/report/line1'],
  ['signals', '#/set-up/signals'],
  ['tension around the loop', '#/set-up/loop'],
  ['people and rota', '#/set-up/on-call'],
  ['password and people', '#/people'],
] as const;

let browser: Browser;
let plant: Plant;
let page: Page;
beforeAll(async () => {
  browser = await launchChromium();
  plant = await startPlantWithScreens({ site: siteWith(2) });
});
afterAll(async () => {
  await browser.close();
  await plant.stop();
});
beforeEach(async () => {
  await plant.agent.heartbeat();
  page = await signedInPage(browser, plant.web);
});
afterEach(() => page.close());

/** Both sides, last read at a time. */
function readAt(positionAt: string) {
  const { left, right } = nowOf();
  return { left: { ...left, positionAt }, right: { ...right, positionAt } };
}

/** What a page asks for beside who is signed in, which site it is, and the live line. */
const ASKED = /\/api\/(?!me$|site$|session|live|socket)/;
const goTo = (hash: string) => page.goto(`${plant.web.url}/${hash}`);

describe('a page that has to wait', () => {
  it.each(PAGES)('%s has its name and the way to all others, and what came late in its place', async (_name, hash) => {
    const held: Route[] = [];
    let holding = true;
    await page.route(ASKED, (route) => {
      if (holding) held.push(route);
      else void route.continue();
    });
    await goTo(hash);
    await page.getByRole('heading', { level: 1 }).waitFor();
    await expect.poll(() => held.length).toBeGreaterThan(0);
    await page.getByRole('navigation', { name: 'Screens' }).waitFor();
    const waiting = page.getByText(/^(Asking|Planning|Counting|Waiting|Reading) …$/).filter({ visible: true });
    if (hash !== '#/people') await waiting.first().waitFor();
    holding = false;
    for (const route of held) await route.continue();
    await expect.poll(() => waiting.count()).toBe(0);
  });
});

describe('a page whose question the server cannot answer', () => {
  it.each(PAGES)('%s says why in words, and is a page all the same', async (_name, hash) => {
    await page.route(ASKED, (route) =>
      route.fulfill({ status: 500, contentType: 'application/problem+json', body: JSON.stringify(BROKEN) }),
    );
    await goTo(hash);
    await page.getByText('The disk is full.', { exact: false }).filter({ visible: true }).first().waitFor();
    await page.getByRole('heading', { level: 1 }).waitFor();
    expect(await page.getByText('undefined').count()).toBe(0);
    expect(await faultsOf(page)).toEqual([]);
  });
});

/** The signals page asks every second by itself. */
const BY_HAND = PAGES.filter(([name]) => name !== 'signals');

describe('a page whose question the server could not answer at first', () => {
  it.each([...BY_HAND, ['bench', '#/bench'], ['disk', '#/set-up/disk'], ['job card', '#/work/card/7']] as const)(
    '%s is asked again with the keyboard, says so when that fails too, and shows what then comes',
    async (name, hash) => {
      let broken = true;
      let asked = 0;
      await page.route(ASKED, (route) => {
        if (!broken) return route.continue();
        asked += 1;
        return route.fulfill({ status: 500, contentType: 'application/problem+json', body: JSON.stringify(BROKEN) });
      });
      await goTo(hash);
      const again = page.getByRole('button', { name: /^Try again: ./ });
      await again.first().waitFor();
      const before = asked;
      await again.first().press('Enter');
      await expect.poll(() => asked).toBeGreaterThan(before);
      await page.getByText('The disk is full.', { exact: false }).filter({ visible: true }).first().waitFor();
      broken = false;
      if (name === 'job card') {
        await again.press('Enter');
        await page.getByText('There is no job card 7', { exact: false }).waitFor();
        return;
      }
      for (let left = await again.count(); left > 0; left = await again.count()) {
        await again.first().press('Enter');
        await expect.poll(() => again.count()).toBeLessThan(left);
      }
      expect(await page.getByText('The disk is full.', { exact: false }).filter({ visible: true }).count()).toBe(0);
      await page.getByRole('heading', { level: 1 }).waitFor();
    },
  );

  it('says that it asks, and can be pressed once meanwhile', async () => {
    const held: Route[] = [];
    let turn = 0;
    await page.route('**/api/disk', (route) => {
      turn += 1;
      if (turn === 1) return route.fulfill({ status: 500, contentType: 'application/problem+json', body: JSON.stringify(BROKEN) });
      held.push(route);
      return undefined;
    });
    await goTo('#/set-up/disk');
    const again = page.getByRole('button', { name: 'Try again: what the history takes' });
    await again.click();
    await page.getByRole('status').getByText('Asking …').waitFor();
    expect(await again.getAttribute('aria-disabled')).toBe('true');
    await again.click({ force: true });
    expect(held.length).toBe(1);
    await held[0]?.continue();
    await expect.poll(() => again.count()).toBe(0);
    await page.getByRole('region', { name: 'What the history takes' }).getByRole('table').waitFor();
  });
});

describe('where nothing has come yet', () => {
  it.each([
    ['floor', '#/', 'Nothing heard yet'],
    ['wall', '#/wall', 'Alder Point Cookware: Nothing heard yet'],
    ['take-up', '#/takeup/line1/tu2', 'Not known: nothing has been heard of it yet.'],
    ['take-up, its past', '#/takeup/line1/tu2', 'Nothing was read in this time.'],
    ['take-up, its carriage', '#/takeup/line1/tu2', 'Not known: nothing has been heard of it yet.'],
    ['alarms', '#/alarms', 'Not known: nothing has been heard yet.'],
    ['alarms, their changes', '#/alarms', 'No alarm has ever changed here.'],
    ['work', '#/work', 'Not known: nothing has been heard yet.'],
    ['work, its carriages', '#/work', 'Not known: nothing has been heard yet.'],
    ['work, its log', '#/work', 'Nothing has been written down yet.'],
    ['work, its cards', '#/work', 'None is open. A job card is made where work is planned.'],
    ['plan', '#/work/plan/line1/tu2', 'Nothing can be planned now'],
    ['report', '#/report/line1', 'Nothing has been heard of it yet.'],
  ])('%s says so', async (_name, hash, words) => {
    await goTo(hash);
    const said = page.getByText(words).first();
    await said.waitFor();
    expect(await said.isVisible()).toBe(true);
  });

  it('no list of alarms says that it is empty, and none has a 0', async () => {
    await goTo('#/alarms');
    for (const name of ['Standing', 'Shelved', 'Suppressed by design', 'Out of service']) {
      const list = page.getByRole('region', { name, exact: true });
      await list.getByText('Not known: nothing has been heard yet.').waitFor();
      expect((await list.getByRole('heading', { name }).innerText()).trim()).toBe(name);
    }
  });

  it('the plan has what can be measured by hand open at once', async () => {
    await goTo('#/work/plan/line1/tu2');
    await page.getByRole('heading', { name: 'Nothing can be planned now' }).waitFor();
    expect(await page.getByRole('heading', { name: /^Measured by hand/ }).isVisible()).toBe(true);
  });
});

describe('what was heard before the line broke', () => {
  it.each([
    ['floor', '#/', 'Nothing stands, 1 not heard yet', 'Nothing stands, 1 not heard yet, when last heard'],
    ['take-up', '#/takeup/line1/tu1', 'None stands.', 'None stood when last heard.'],
    ['alarms', '#/alarms', 'None stands.', 'None stood when last heard.'],
  ])('%s says that it was so, not that it is', async (_name, hash, before, after) => {
    await plant.agent.now(nowOf({ time: new Date().toISOString() }));
    await plant.agent.heartbeat();
    await goTo(hash);
    await page.getByText('Live', { exact: true }).waitFor();
    await page.getByText(before, { exact: true }).waitFor();
    await page.context().setOffline(true);
    await page.getByRole('alert').getByText('No connection to the Takeline server').waitFor();
    await page.getByText(after, { exact: true }).waitFor();
    expect(await page.getByText('Stale', { exact: true }).count()).toBeGreaterThan(0);
    await page.context().setOffline(false);
    await expect.poll(() => page.getByRole('alert').getByText('No connection').count()).toBe(0);
  });

  it('goes on paper with the words that it was so, since the banner does not', async () => {
    await plant.agent.now(nowOf({ time: new Date().toISOString(), ...readAt('2026-03-02T09:00:00Z') }));
    await plant.agent.heartbeat();
    await goTo('#/report/line1');
    await page.getByText('Live', { exact: true }).waitFor();
    const stale = page.getByText('As last heard, not as it is now.');
    expect(await stale.count()).toBe(0);
    await plant.agent.heartbeat(false);
    await stale.waitFor();
    await page.emulateMedia({ media: 'print' });
    expect(await stale.isVisible()).toBe(true);
    expect(await page.getByRole('alert').getByText('The agent has stopped').isVisible()).toBe(false);
    await page.getByText('Last read 2026-03-02 10:00.').waitFor();
    await page.getByText('None stood when last heard.').first().waitFor();
  });
});
