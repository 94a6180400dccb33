import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { colleague, engineer } from '../web/a-visitor.js';
import { plantDay } from '../web/plant-day.js';
import { startWorks, TRAVEL_ALARM, type Works } from './a-works.js';
import { launchChromium } from './chromium.js';
import { pressOn, tabTo } from './keys.js';
import { signedInPage } from './web-screens.js';

const PHONE = { width: 360, height: 740 };
const ENAMEL = 'Enamel furnace line tu1';
const KARI = { name: 'kari', password: 'kari-password' };

let browser: Browser;
let works: Works;
let page: Page;
beforeAll(async () => {
  browser = await launchChromium();
});
afterAll(() => browser.close());
beforeEach(async () => {
  works = await startWorks();
  await colleague(works.plant.web.url, await engineer(works.plant.web), KARI.name, 'technician');
});
afterEach(async () => {
  await page.close();
  await works.stop();
});

const asKari = async (size?: { width: number; height: number }): Promise<void> => {
  page = await signedInPage(browser, { ...works.plant.web, firstPassword: KARI }, size);
};
const screens = () => page.getByRole('navigation', { name: 'Screens' });
const section = (name: string) => page.getByRole('region', { name, exact: true });

describe('a technician with a phone at the take-up', () => {
  it('takes the alarm, reads how the take-up is, and looks back to an hour of his choice', async () => {
    await asKari(PHONE);
    await screens()
      .getByRole('link', { name: /^Alarms/ })
      .click();
    const standing = page.getByRole('region', { name: 'Standing' });
    expect(await standing.getByRole('button', { name: /^Out of service/ }).count()).toBe(0);
    await standing.getByRole('button', { name: `Acknowledge ${TRAVEL_ALARM}` }).click();
    await standing.getByText('acknowledged', { exact: true }).waitFor();
    await standing.getByRole('link', { name: 'Enamel furnace line, tu1' }).click();
    await page.getByRole('heading', { name: ENAMEL, level: 1 }).waitFor();
    await page.getByText(/^The carriage stands 20\smm before its outer stop/).waitFor();
    await page.getByText(/stroke used up about/).waitFor();

    const history = section('Position, springs, tension, heat');
    const from = history.getByRole('textbox', { name: 'From' });
    expect(await from.inputValue()).toMatch(/^20\d\d-\d\d-\d\d \d\d:\d\d$/);
    const day = plantDay(10);
    await from.fill(`${day} 21:0`);
    await from.blur();
    await history.getByText('Write it like 2026-03-02 09:41.').waitFor();
    await from.fill(`${day} 21:05`);
    await expect.poll(() => history.getByRole('slider', { name: /^The time that is shown/ }).getAttribute('aria-valuetext')).toMatch(day);
    expect(await history.getByText('Write it like').count()).toBe(0);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(PHONE.width);
  });

  it('reads every time of a field whole', async () => {
    await asKari(PHONE);
    await page.goto(`${works.plant.web.url}/#/takeup/enamel/tu1`);
    const fields = [page.getByRole('textbox', { name: 'From' }), page.getByRole('textbox', { name: /^When/ })];
    for (const field of fields) {
      const { room, words } = await field.evaluate((input: HTMLInputElement) => ({ room: input.clientWidth, words: input.scrollWidth }));
      expect(words).toBeLessThanOrEqual(room);
    }
  });
});

describe('a technician with the keyboard alone', () => {
  it('plans a removal, prints its card, works it off and closes it', async () => {
    await asKari();
    await page.evaluate(() =>
      Object.assign(globalThis, { sheets: 0, print: () => ((globalThis as unknown as { sheets: number }).sheets += 1) }),
    );
    await pressOn(page, screens().getByRole('link', { name: 'Work' }));
    await pressOn(page, page.getByRole('link', { name: `Plan work on ${ENAMEL}` }));
    await page.getByText('lock out and tag out', { exact: false }).first().waitFor();
    await pressOn(page, page.getByRole('button', { name: /^Make the job card for 4 pitches/ }));
    await page.getByRole('heading', { name: /^Shorten the chain by 4 pitches/ }).waitFor();
    await pressOn(page, page.getByRole('button', { name: 'Print' }));
    expect(await page.evaluate(() => (globalThis as unknown as { sheets: number }).sheets)).toBe(1);
    await pressOn(page, page.getByRole('button', { name: /^Begin the job/ }));
    await page.getByText(/^Begun by kari/).waitFor();

    for (const box of await page.getByRole('checkbox').all()) if (!(await box.isChecked())) await pressOn(page, box, 'Space');
    const done = section('Done');
    const type = async (label: string | RegExp, words: string): Promise<void> => {
      await tabTo(page, done.getByLabel(label));
      await page.keyboard.type(words);
    };
    await type('Pitches taken out', '4');
    for (const side of ['Left', 'Right']) await type(new RegExp(`^${side} nut, turns`), '2');
    // A list is opened by no key here: its first letters choose.
    await type(/^Rock of the chain/, 'in order');
    await type(/^Restraint nuts/, 'run out');
    await pressOn(page, page.getByRole('button', { name: 'Close the card' }));
    await section('What became of it')
      .getByText(/^Closed by kari/)
      .waitFor();
    expect(works.service.entries.map(({ kind }) => kind)).toEqual(
      expect.arrayContaining(['service-opened', 'chain-removed', 'nut-turned', 'inspected', 'service-closed']),
    );
  });

  it('writes down what was done, with the time it was done at', async () => {
    await asKari();
    await pressOn(page, screens().getByRole('link', { name: 'Work' }));
    await pressOn(page, page.getByRole('link', { name: /^Service log: write down/ }));
    await tabTo(page, page.getByRole('combobox', { name: /^Take-up/ }));
    await page.keyboard.type('Enamel');
    const form = page.getByRole('form', { name: 'Write down what was done' });
    const when = form.getByRole('textbox', { name: /^When/ });
    await tabTo(page, when);
    await page.keyboard.press('Control+A');
    await page.keyboard.type('2026-02-03 7');
    await tabTo(page, form.getByRole('textbox', { name: /^Pitches taken out/ }));
    await page.keyboard.type('2');
    await pressOn(page, form.getByRole('button', { name: 'Write it down' }));
    await form.getByText('Give a date and a time that the clock of the site has.').waitFor();
    await expect.poll(() => when.evaluate((input) => input === document.activeElement)).toBe(true);
    await page.keyboard.press('Control+A');
    await page.keyboard.type('2026-02-03 7:15');
    await pressOn(page, form.getByRole('button', { name: 'Write it down' }));
    await form.getByText('Written down: 2 pitches taken out.').waitFor();
    expect(works.service.entries.at(-1)).toMatchObject({ kind: 'chain-removed', timeMs: Date.parse('2026-02-03T06:15:00Z') });
  });
});
