import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { Plant } from '../web/a-plant.js';
import { Service } from '../web/a-service.js';
import { nowOf } from '../web/a-takeup.js';
import { engineer, visitor, type Visitor } from '../web/a-visitor.js';
import { launchChromium } from './chromium.js';
import { complaintsOf, signedInPage, startPlantWithScreens } from './web-screens.js';

const HOUR_MS = 3_600_000;
const PHONE = { width: 360, height: 740 };

let browser: Browser;
let plant: Plant;
let service: Service;
beforeAll(async () => {
  browser = await launchChromium();
});
afterAll(() => browser.close());
beforeEach(async () => {
  service = new Service();
  plant = await startPlantWithScreens({ history: service.history });
  plant.agent.answer = service.answer;
  await plant.agent.now(standing(205));
  await plant.agent.heartbeat();
});
afterEach(() => plant.stop());

/** Well out on its stroke, as settled an hour ago. */
function standing(settledMm: number, different: Parameters<typeof nowOf>[0] = {}) {
  const time = new Date().toISOString();
  const side = { readingMm: settledMm, positionMm: settledMm, positionAt: time, springMm: 284, forceN: 648 };
  return nowOf({
    ...{
      time,
      settledMm,
      positionMm: settledMm,
      settledAt: new Date(Date.now() - HOUR_MS).toISOString(),
      settledRunHours: 1000,
      runHours: 1000.2,
    },
    ...{ left: side, right: side, chain: { ...nowOf().chain, thermalMm: 0 }, ...different },
  });
}

async function open(hash: string, size?: { width: number; height: number }): Promise<{ page: Page; complaints: string[] }> {
  const page = await signedInPage(browser, plant.web, size);
  const complaints = complaintsOf(page);
  await page.goto(`${plant.web.url}/#/${hash}`);
  return { page, complaints };
}

/** Plans at the desk and makes the card of the recommended removal. */
async function planned(): Promise<void> {
  const { page } = await open('work');
  await page.getByRole('link', { name: 'Plan work on Enamel furnace line tu1' }).click();
  await page.getByRole('button', { name: /^Make the job card for 4 pitches/ }).click();
  await page.getByRole('heading', { name: /^Shorten the chain by 4 pitches/ }).waitFor();
  await page.close();
}

async function colleague(): Promise<Visitor> {
  const boss = await engineer(plant.web);
  await boss.ask('POST', '/api/people', { name: 'ola', role: 'technician', password: 'ola-password' });
  const ola = visitor(plant.web.url);
  await ola.ask('POST', '/api/session', { name: 'ola', password: 'ola-password' });
  return ola;
}

async function ticksAtServer(person: Visitor): Promise<object> {
  const answer = await person.ask('GET', '/api/cards/1');
  return ((await answer.json()) as { ticks: object }).ticks;
}

const kept = (page: Page) => page.locator('.kept').getByRole('status');
const section = (page: Page, name: string) => page.getByRole('region', { name, exact: true });

describe('a removal, from the plan to the log', () => {
  it('is planned at a desk, worked off on a phone, and closed into the service log', async () => {
    await planned();
    const { page, complaints } = await open('work', PHONE);
    await page.getByRole('link', { name: /^Open job card 1: Shorten the chain by 4 pitches/ }).click();
    const cautions = section(page, 'Before anything else');
    expect(await cautions.innerText()).toContain('Takeline is not a safety device and stops nothing.');
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(360);
    // For a gloved thumb.
    for (const box of await page.locator('.card-step').all()) expect((await box.boundingBox())?.height).toBeGreaterThanOrEqual(44);

    await page.getByRole('button', { name: /^Begin the job/ }).click();
    await page.getByText(/^Begun by engineer/).waitFor();
    expect(service.entries.map(({ kind }) => kind)).toEqual(['service-opened']);

    for (const box of await page.getByRole('checkbox').all()) await box.check();
    await page.getByLabel('Locked by').fill('Kari');
    await section(page, 'Found').getByLabel('Spring, left').fill('284,5');
    const done = section(page, 'Done');
    await done.getByLabel('Pitches taken out').fill('4');
    await done.getByLabel(/^Left nut, turns/).fill('2.25');
    await done.getByLabel(/^Right nut, turns/).fill('2');
    await done.getByLabel('Notes').fill('one pin was tight');
    await page.getByRole('button', { name: 'Close the card' }).click();
    // What closing asks for stands beside the blank that it asks for.
    await done.getByText('Write down whether the chain rocks as it should.').waitFor();
    await done.getByLabel(/^Rock of the chain/).selectOption('in order');
    await done.getByLabel(/^Restraint nuts/).selectOption('run out, as they should be');
    await page.getByRole('button', { name: 'Close the card' }).click();

    const outcome = section(page, 'What became of it');
    await outcome.getByText(/^Closed by engineer/).waitFor();
    expect(await outcome.innerText()).toMatch(/What the carriage says: .*hour/s);
    expect(await outcome.innerText()).toContain('4 pitches taken out');
    expect(await page.getByRole('checkbox').first().isDisabled()).toBe(true);
    expect(service.entries.map(({ kind }) => kind)).toEqual([
      ...['service-opened', 'chain-removed', 'nut-turned', 'nut-turned', 'inspected', 'note', 'service-closed'],
    ]);
    expect(service.entries[1]?.body).toMatchObject({ conveyor: 'line1', pitches: 4, by: 'engineer' });

    await page.goto(`${plant.web.url}/#/takeup/line1/tu1`);
    await expect
      .poll(() => page.getByRole('region', { name: 'Service log' }).innerText())
      .toMatch(/4 pitches taken out[\s\S]*Service begun/i);
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('goes on sending after an answer that was cut off on its way, and writes nothing twice', async () => {
    await planned();
    const { page } = await open('work/card/1', PHONE);
    let cut = 0;
    await page.route('**/api/cards/1', async (asked) => {
      if (asked.request().method() !== 'PATCH' || cut > 0) return asked.continue();
      cut += 1;
      const whole = await asked.fetch();
      return asked.fulfill({ status: whole.status(), contentType: 'application/json', body: (await whole.text()).slice(0, 20) });
    });
    await page.getByLabel('Locked by').fill('Kari');
    await expect.poll(() => cut).toBe(1);
    await expect.poll(() => kept(page).innerText()).toContain('No connection');
    await section(page, 'Done').getByLabel('Notes').fill('one pin was tight');
    await expect.poll(() => kept(page).innerText()).toBe('Everything is kept and sent.');
    const { blanks } = await page.evaluate(async () => (await (await fetch('/api/cards/1')).json()) as { blanks: object });
    expect(JSON.stringify(blanks)).toMatch(/Kari.*one pin was tight|one pin was tight.*Kari/);
    await page.close();
  });

  it('asks once more where steps are left out', async () => {
    await planned();
    const { page } = await open('work/card/1', PHONE);
    await page.getByRole('button', { name: 'Close the card' }).click();
    const dialog = page.getByRole('alertdialog');
    const back = dialog.getByRole('button', { name: 'Go back to the card' });
    expect(await back.evaluate((button) => button === document.activeElement)).toBe(true);
    expect(await dialog.innerText()).toMatch(/\d+ steps are not ticked/);
    await back.press('Enter');
    const close = page.getByRole('button', { name: 'Close the card' });
    expect(await close.evaluate((button) => button === document.activeElement)).toBe(true);
    await close.press('Enter');
    await dialog.getByRole('button', { name: 'Close it all the same' }).press('Enter');
    expect(await page.evaluate(() => document.activeElement === document.body)).toBe(false);
    // The two that nobody may forget are asked for all the same.
    await page.locator('.close-card').getByText('Tick that the guards are back.').waitFor();
    expect(service.entries).toEqual([]);
    await page.close();
  });

  it('is dropped with a reason, and stays to be read', async () => {
    await planned();
    const { page } = await open('work/card/1');
    await page.getByText('This job will not be done').click();
    await page.getByRole('button', { name: 'Drop the card' }).click();
    await page.getByText('Write why, so that whoever looks for it knows.').waitFor();
    await page.getByLabel('Why').fill('the line is sold');
    await page.getByRole('button', { name: 'Drop the card' }).click();
    await expect.poll(() => section(page, 'What became of it').innerText()).toMatch(/Dropped by engineer, .*: the line is sold/);
    expect(await page.getByRole('checkbox').first().isDisabled()).toBe(true);
    await page.close();
  });
});

describe('a phone that loses its line', () => {
  it('keeps what is filled in, says so, and sends it when the server is back', async () => {
    await planned();
    const { page } = await open('work/card/1', PHONE);
    await page.getByLabel('Locked by').waitFor();
    await plant.stopWeb();
    await page.getByLabel('Locked by').fill('Kari');
    await page.getByRole('checkbox', { name: /^Stop the conveyor/ }).check();
    await expect.poll(() => kept(page).innerText()).toBe('Kept on this device. No connection: it is sent as soon as there is one.');
    await plant.startWeb();
    await expect.poll(() => kept(page).innerText(), { timeout: 20_000 }).toBe('Everything is kept and sent.');
    await page.close();
    const { page: desk } = await open('work/card/1');
    await expect.poll(() => desk.getByLabel('Locked by').inputValue()).toBe('Kari');
    expect(await desk.getByRole('checkbox', { name: /^Stop the conveyor/ }).isChecked()).toBe(true);
    await desk.close();
  });

  it('keeps it through a reload too, also the wish to close', async () => {
    await planned();
    const { page } = await open('work/card/1', PHONE);
    await page.getByLabel('Locked by').waitFor();
    await page.route('**/api/cards/1**', (route) => (route.request().method() === 'GET' ? route.continue() : route.abort()));
    for (const box of await page.getByRole('checkbox').all()) await box.check();
    const done = section(page, 'Done');
    await done.getByLabel('Pitches taken out').fill('4');
    await done.getByLabel(/^Rock of the chain/).selectOption('in order');
    await done.getByLabel(/^Restraint nuts/).selectOption('run out, as they should be');
    await page.getByRole('button', { name: 'Close the card' }).click();
    await expect.poll(() => kept(page).innerText()).toContain('the card is closed as soon as there is one');
    await page.reload();
    await expect.poll(() => section(page, 'Done').getByLabel('Pitches taken out').inputValue()).toBe('4');
    expect(service.entries).toEqual([]);
    await page.unroute('**/api/cards/1**');
    await page.getByText(/^Closed by engineer/).waitFor({ timeout: 20_000 });
    expect(service.entries.map(({ kind }) => kind)).toEqual(expect.arrayContaining(['chain-removed', 'inspected', 'service-closed']));
    await page.close();
  });

  it('asks whose writing holds where somebody else wrote in the same blank meanwhile', async () => {
    await planned();
    const { page } = await open('work/card/1', PHONE);
    const pitches = section(page, 'Done').getByLabel('Pitches taken out');
    await pitches.waitFor();
    await page.route('**/api/cards/1', (route) => (route.request().method() === 'PATCH' ? route.abort() : route.continue()));
    await pitches.fill('4');
    const ola = await colleague();
    expect((await ola.ask('PATCH', '/api/cards/1', { version: 1, blanks: { 'done-pitches': 2 } })).status).toBe(200);
    await page.unroute('**/api/cards/1');
    const which = page.getByRole('group', { name: 'Pitches taken out: which holds?' });
    await which.waitFor({ timeout: 20_000 });
    expect(await which.innerText()).toContain('ola wrote “2” here.');
    await which.getByRole('button', { name: 'Keep mine' }).click();
    await expect.poll(() => kept(page).innerText(), { timeout: 20_000 }).toBe('Everything is kept and sent.');
    expect(await pitches.inputValue()).toBe('4');
    await page.close();
  });

  it('sends what one person wrote in nobody else’s name, whoever signs in on it next', async () => {
    await planned();
    const { page } = await open('work/card/1', PHONE);
    const stop = page.getByRole('checkbox', { name: /^Stop the conveyor/ });
    await page.route('**/api/cards/1', (route) => (route.request().method() === 'PATCH' ? route.abort() : route.continue()));
    await stop.check();
    await expect.poll(() => kept(page).innerText()).toContain('Kept on this device');
    const ola = await colleague();
    const signIn = async (name: string, password: string): Promise<void> => {
      await page.context().clearCookies();
      await page.reload();
      await page.getByLabel('Name').fill(name);
      await page.getByLabel('Password').fill(password);
      await page.getByRole('button', { name: 'Sign in' }).click();
      await page.locator('.shell').waitFor();
    };
    await signIn('ola', 'ola-password');
    await page.unroute('**/api/cards/1');
    await section(page, 'Not sent yet: what engineer wrote here').waitFor();
    expect([await stop.isChecked(), await stop.isDisabled()]).toEqual([true, true]);
    expect(await ticksAtServer(ola)).toEqual({});

    await signIn('engineer', plant.web.firstPassword?.password ?? '');
    await expect.poll(() => kept(page).innerText(), { timeout: 20_000 }).toBe('Everything is kept and sent.');
    expect(Object.values(await ticksAtServer(ola))).toEqual([expect.objectContaining({ done: true, by: 'engineer' })]);
    await page.close();
  });

  it('is free for the next person when what waited on it is thrown away', async () => {
    await planned();
    const { page } = await open('work/card/1', PHONE);
    const stop = page.getByRole('checkbox', { name: /^Stop the conveyor/ });
    await stop.waitFor();
    await page.evaluate(() => {
      const key = 'takeline.card.1';
      const stored = JSON.parse(localStorage.getItem(key) ?? '{}') as object;
      localStorage.setItem(key, JSON.stringify({ ...stored, ticks: { 'shut-down': true }, by: 'kari' }));
    });
    await page.reload();
    const others = section(page, 'Not sent yet: what kari wrote here');
    await others.getByRole('button', { name: 'Throw it away …' }).click();
    await others.getByRole('button', { name: 'Throw away what kari wrote' }).click();
    await expect.poll(() => stop.isEnabled()).toBe(true);
    await stop.check();
    await expect.poll(() => kept(page).innerText()).toBe('Everything is kept and sent.');
    await page.close();
  });
});
