import { fileURLToPath } from 'node:url';
import { expect, it, onTestFinished } from 'vitest';
import { SITE_TEXT } from '../integration/agent-site.js';
import { MailServer } from '../integration/mail/mail-server.js';
import { startWholePlant } from '../integration/whole-plant.js';
import { seriousFaults } from './accessibility.js';
import { launchChromium } from './chromium.js';
import { complaintsOf, signedInPage, startPlantWithScreens } from './web-screens.js';

const CLIENT = fileURLToPath(new URL('../../dist/web/client', import.meta.url));

/** Marta is paged at once and answers nothing; the mail server knows nobody in the stores; low alarms page nobody. */
const site = (port: number): string =>
  `${SITE_TEXT.replace('stroke_mm: 230', 'stroke_mm: 230\n        limits: { stroke-end: { on_delay_s: 0 } }')}
people:
  - { id: marta, name: Marta, channels: { email: marta@alder-point.example } }
  - { id: stores, name: Stores, channels: { email: stores@alder-point.example } }
paging:
  group_s: 0
  ladders:
    high: { steps: [{ after_min: 0, to: marta }, { after_min: 0.05, to: stores }], stop_after_min: 0.1 }
  smtp: { host: localhost, port: ${String(port)}, security: none, from: takeline@alder-point.example }
`;

it('says who was paged about an alarm of a real agent, who was not reached, and that nobody took it, on the page of alarms and on the wall', async () => {
  const browser = await launchChromium();
  const refuses = (address: string) => (address.startsWith('stores') ? { code: 550, message: 'no such user' } : undefined);
  const { port } = await MailServer.start({ tls: 'none', refuses });
  const plant = await startWholePlant(site(port), CLIENT);
  const page = await signedInPage(browser, plant.web);
  const complaints = complaintsOf(page);
  await page.goto(`${plant.web.url}/#/alarms`);
  plant.carriageStandsAt('enamel/tu1', 225);
  const card = (name: string) => page.getByRole('listitem', { name: new RegExp(`^${name}, `) });

  await card('Travel nearly used up').waitFor({ timeout: 60_000 });
  await expect
    .poll(() => card('Travel nearly used up').innerText(), { timeout: 60_000 })
    .toMatch(/Paged: Marta \d\d:\d\d\. Stores could not be reached\./);
  await card('Travel nearly used up').getByText('Stores could not be reached').click();
  expect(await card('Travel nearly used up').innerText()).toMatch(
    /Mail to Marta: taken by the mail server, \d\d:\d\d\s+\d\d:\d\d Mail to Stores: NOT delivered, given up \d\d:\d\d: .*no such user/,
  );
  await card('Page not answered').waitFor({ timeout: 60_000 });
  await expect
    .poll(() => card('Page not answered').innerText(), { timeout: 60_000 })
    .toContain('Nobody is paged about this: it is shown here and on the wall.');
  expect(await card('Page not answered').getByRole('heading').innerText()).toMatch(/Urgent$/);
  expect(await seriousFaults(page)).toEqual([]);

  await page.setViewportSize({ width: 1920, height: 1080 });
  await page.goto(`${plant.web.url}/#/wall`);
  const first = page.locator('.wall .rows > li').first();
  await expect.poll(() => first.innerText(), { timeout: 30_000 }).toMatch(/tu1[^]*Page not answered[^]*Travel nearly used up/);

  await page.goto(`${plant.web.url}/#/alarms`);
  await page.getByRole('button', { name: 'Acknowledge Travel nearly used up, left, Enamel furnace line, tu1' }).click();
  await expect.poll(() => card('Travel nearly used up').innerText(), { timeout: 30_000 }).toMatch(/Taken by engineer, \d\d:\d\d\./);
  expect(complaints).toEqual([]);
  await browser.close();
}, 240_000);

it('keeps the head of the wall, with the alarms of the site itself, below the banner of an agent that is gone', async () => {
  const browser = await launchChromium();
  const plant = await startPlantWithScreens();
  onTestFinished(() => plant.stop());
  await plant.agent.heartbeat();
  const page = await signedInPage(browser, plant.web, { width: 1920, height: 1080 });
  await page.goto(`${plant.web.url}/#/wall`);
  await page.locator('.wall-head').waitFor();
  await plant.agent.heartbeat(false);
  await page.getByRole('list', { name: 'Other alarms' }).getByText('Agent silent').waitFor({ timeout: 30_000 });
  await page.locator('#main').focus();
  const [banner, head] = [await page.locator('.banner').boundingBox(), await page.locator('.wall-head').boundingBox()];
  expect((head?.y ?? 0) + 8).toBeGreaterThanOrEqual((banner?.y ?? 0) + (banner?.height ?? Infinity));
  await browser.close();
}, 120_000);

it('has an alarm set aside before it rises, by keyboard, and says on both pages who did so, why and until when', async () => {
  const browser = await launchChromium();
  const plant = await startWholePlant(SITE_TEXT, CLIENT);
  const page = await signedInPage(browser, plant.web, { width: 360, height: 740 });
  await page.goto(`${plant.web.url}/#/alarms`);
  const summary = page.getByText('Set an alarm aside before it rises');
  await summary.focus();
  await page.keyboard.press('Enter');
  await page.getByLabel('Which alarm').selectOption({ label: 'Sensor silent: left position' });
  const why = page.getByRole('textbox', { name: 'Why' });
  // The choice keeps the focus, so that arrow keys go on choosing.
  expect(await why.evaluate((input) => input === document.activeElement)).toBe(false);
  await why.focus();
  await page.keyboard.type('sensor is changed after lunch');
  expect(await seriousFaults(page)).toEqual([]);
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(360);
  await page.keyboard.press('Enter');
  const shelved = page.getByRole('region', { name: 'Shelved', exact: true });
  await expect
    .poll(() => shelved.innerText(), { timeout: 30_000 })
    .toMatch(/Sensor silent, left position\s+Enamel furnace line, tu1\s+By engineer: sensor is changed after lunch\s+Comes back in/);
  await expect.poll(() => summary.evaluate((element) => element === document.activeElement)).toBe(true);

  await page.goto(`${plant.web.url}/#/takeup/enamel/tu1`);
  await expect.poll(() => shelved.innerText(), { timeout: 30_000 }).toContain('By engineer: sensor is changed after lunch');
  await shelved.getByRole('button', { name: /^Return it now: Sensor silent, left position/ }).click();
  await expect.poll(() => shelved.count(), { timeout: 30_000 }).toBe(0);

  await page.getByText('Set an alarm aside before it rises').click();
  await page.getByLabel('Which alarm').selectOption({ label: 'Travel low' });
  await page.getByRole('radio', { name: 'Take out of service' }).check();
  await page.getByRole('textbox', { name: 'Why' }).fill('line is rebuilt');
  await page.getByRole('button', { name: 'Take it out of service' }).click();
  const out = page.getByRole('region', { name: 'Out of service', exact: true });
  await expect
    .poll(() => out.innerText(), { timeout: 30_000 })
    .toMatch(/Travel low\s+Enamel furnace line, tu1\s+By engineer: line is rebuilt\s+Since/);
  await page.getByRole('button', { name: /^Put it back: Travel low/ }).click();
  await expect.poll(() => out.count(), { timeout: 30_000 }).toBe(0);
  await browser.close();
}, 240_000);
