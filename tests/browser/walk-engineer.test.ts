import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { startWorks, type Works } from './a-works.js';
import { launchChromium, openPage } from './chromium.js';
import { pressOn, tabTo } from './keys.js';
import { signedInPage } from './web-screens.js';

let browser: Browser;
let works: Works;
let page: Page;
beforeAll(async () => {
  browser = await launchChromium();
  works = await startWorks();
});
afterAll(async () => {
  await browser.close();
  await works.stop();
});
beforeEach(async () => {
  page = await signedInPage(browser, works.plant.web);
});
afterEach(() => page.close());

const screens = (of = page) => of.getByRole('navigation', { name: 'Screens' });
const part = (name: string) => page.getByRole('navigation', { name: 'Parts of the set-up' }).getByRole('link', { name });
const signIn = async (of: Page, name: string, password: string): Promise<void> => {
  await of.getByLabel('Name').fill(name);
  await of.getByLabel('Password').fill(password);
  await of.getByRole('button', { name: 'Sign in' }).click();
};

describe('an engineer', () => {
  it('lets a technician in, who takes a password of his own, and shuts him out again', async () => {
    await page.getByText('engineer', { exact: true }).click();
    await page.getByRole('link', { name: 'Password and people' }).click();
    const people = page.getByRole('region', { name: 'Who may sign in' });
    await people.getByLabel(/^Name/).fill('jonas');
    await people.getByRole('combobox', { name: /^May/ }).selectOption('take alarms and write work down (technician)');
    await people.getByLabel(/^First password/).fill('first-of-jonas');
    await people.getByRole('button', { name: 'Add', exact: true }).click();
    await people.getByText('jonas may sign in.').waitFor();

    const his = await openPage(browser, works.plant.web.url);
    await signIn(his, 'jonas', 'first-of-jonas');
    await screens(his).waitFor();
    expect(await screens(his).getByRole('link', { name: 'Bench' }).count()).toBe(0);
    await his.getByText('jonas', { exact: true }).click();
    await his.getByRole('link', { name: 'Password and people' }).click();
    await his.getByLabel('The present one').fill('first-of-jonas');
    await his.getByLabel(/^The new one/).fill('second-of-jonas');
    await his.getByRole('button', { name: 'Change it' }).click();
    await his.getByText('The password is changed', { exact: false }).waitFor();
    expect(await his.getByRole('region', { name: 'Who may sign in' }).count()).toBe(0);
    await his
      .getByRole('button', { name: 'Sign out' })
      .or(his.getByText('jonas', { exact: true }))
      .first()
      .click();
    await his.getByRole('button', { name: 'Sign out' }).click();
    await signIn(his, 'jonas', 'first-of-jonas');
    await his.getByText('Name and password do not go together', { exact: false }).waitFor();
    await signIn(his, 'jonas', 'second-of-jonas');
    await screens(his).waitFor();

    await people.getByRole('button', { name: 'Remove jonas' }).click();
    await his.getByRole('button', { name: 'Sign in' }).waitFor();
    await his.close();
  });

  it('goes through the set-up: signals, the site as read, a spring, the loop, who is on call', async () => {
    await screens().getByRole('link', { name: 'Set-up' }).click();
    await expect
      .poll(() => page.getByRole('row', { name: /^enamel\/tu1\/left\/position / }).innerText())
      .toMatch(/12\.3\smm\s+240\.00\smm\s+good\s+\d s old/);
    await part('Site as read').click();
    await page.getByRole('region', { name: 'Enamel furnace line' }).getByText('3200').first().waitFor();
    await page.getByLabel('Conveyor').selectOption('Packing line');
    await page.getByRole('region', { name: 'Packing line' }).waitFor();
    await part('Springs from wire').click();
    await page.getByLabel('Wire, mm').fill('17');
    await expect.poll(() => page.getByText('In the site file, under the take-up').count()).toBe(1);
    await part('Tension around the loop').click();
    const loop = page.getByRole('region', { name: 'Tension around the loop' });
    await page.getByText('As a table').click();
    await expect.poll(() => loop.getByRole('row').count()).toBeGreaterThan(5);
    await page.getByRole('checkbox', { name: /backwards/ }).check();
    await part('People and rota').click();
    await page
      .getByRole('region', { name: 'Who is on call' })
      .getByText(/Hand-over every/)
      .waitFor();
  });

  it('prints the condition of a conveyor', async () => {
    await page.addInitScript(() =>
      Object.assign(globalThis, { sheets: 0, print: () => ((globalThis as unknown as { sheets: number }).sheets += 1) }),
    );
    await page.reload();
    await screens().getByRole('link', { name: 'Work' }).click();
    await page.getByRole('region', { name: 'Condition reports, to print' }).getByRole('link', { name: 'Enamel furnace line' }).click();
    await page.getByRole('heading', { name: /^Condition of Enamel furnace line/ }).waitFor();
    await page.getByRole('region', { name: 'Take-up tu1' }).getByText('guard is bent').waitFor();
    await page.getByRole('button', { name: 'Print' }).click();
    expect(await page.evaluate(() => (globalThis as unknown as { sheets: number }).sheets)).toBe(1);
  });
});

describe('an engineer with the keyboard alone', () => {
  it('signs in', async () => {
    const fresh = await openPage(browser, works.plant.web.url);
    await tabTo(fresh, fresh.getByLabel('Name'));
    await fresh.keyboard.type('engineer');
    await tabTo(fresh, fresh.getByLabel('Password'));
    await fresh.keyboard.type(works.plant.web.firstPassword?.password ?? '');
    await fresh.keyboard.press('Enter');
    await screens(fresh).waitFor();
    expect(await fresh.getByRole('button', { name: 'Sign in' }).count()).toBe(0);
    await fresh.close();
  });

  it('calibrates a sensor and writes down what it reads from now on', async () => {
    await pressOn(page, screens().getByRole('link', { name: 'Set-up' }));
    await pressOn(page, page.getByRole('button', { name: 'Calibrate enamel/tu1/left/position' }));
    const calibration = page.getByRole('region', { name: 'Calibration of enamel/tu1/left/position' });
    await tabTo(page, calibration.getByLabel('First place, mm'));
    await page.keyboard.type('241.5');
    await pressOn(page, calibration.getByRole('button', { name: 'Take the reading' }).first());
    await calibration.getByText('taken: raw 12.3').waitFor();
    works.reads.raw = 8;
    await calibration.getByText('reads 8 now').waitFor();
    await tabTo(page, calibration.getByLabel('Second place, mm'));
    await page.keyboard.type('80');
    await pressOn(page, calibration.getByRole('button', { name: 'Take the reading' }).nth(1));
    await calibration.getByText('scale: { from: [8, 12.3], to: [80, 241.5] }').waitFor();
    await pressOn(page, calibration.getByRole('button', { name: 'Write it down' }));
    await calibration.getByText('Written down in the service log', { exact: false }).waitFor();
    expect(works.service.entries.at(-1)?.body).toMatchObject({ kind: 'sensor-rezeroed', side: 'left', position_mm: 80 });
  });
});
