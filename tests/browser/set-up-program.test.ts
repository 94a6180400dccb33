import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { inTopic } from '../../agent/contract/topics.js';
import { pageOf, startProgramWithSensors, type ProgramWithSensors } from './a-program.js';
import { launchChromium } from './chromium.js';
import { complaintsOf } from './web-screens.js';

const SITE = `site: { id: works, name: Alder Point Cookware, timezone: Europe/Oslo, units: metric }
conveyors:
  - id: enamel
    name: Enamel furnace line
    chain: { pitch_mm: 76.2, pitches: 3200, repeat_pitches: 2, wear_limit_pct: 2 }
    takeups:
      - id: tu1
        location: column C14
        wrap_deg: 180
        stroke_mm: 230
        spring: { free_mm: 460, rate_n_per_mm: 9.5, solid_mm: 190, clearance_mm: 16, per_side: 1 }
        reference: { at: 2026-01-05T06:00:00Z, position_mm: 40 }
        sides:
          left: { position: { unit: mA, scale: { from: [4, 20], to: [0, 230] } }, set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 250 } }
          right: { position: { unit: mA, scale: { from: [4, 20], to: [0, 230] } }, set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 250 } }
people:
  - { id: marta, name: Marta, channels: { webhook: marta-phone } }
  - { id: jonas, name: Jonas, channels: { webhook: jonas-phone } }
rota: { people: [marta, jonas], hand_over: { day: monday, at: "07:00" }, first_week: 2026-01-05 }
paging:
  ladders: { urgent: { steps: [{ after_min: 0, to: on-call }, { after_min: 5, to: everyone }] } }
  webhook: { url: "http://127.0.0.1:9/pages", secret_file: secrets/webhook.txt }
`;

let program: ProgramWithSensors;
let browser: Browser;
let page: Page;
let complaints: string[];
let sending: NodeJS.Timeout;
/** What the two sensors send, four times a second. */
const reads = { left: 8, right: 8 };

beforeAll(async () => {
  program = await startProgramWithSensors(SITE);
  sending = setInterval(() => {
    for (const side of ['left', 'right'] as const)
      program.sensors.publish(inTopic('works', `enamel/tu1/${side}/position`), String(reads[side]));
  }, 250);
  browser = await launchChromium();
  page = await pageOf(program, browser, { width: 1280, height: 900 });
  complaints = complaintsOf(page);
  await page.getByRole('link', { name: 'Set-up' }).click();
});
afterAll(async () => {
  clearInterval(sending);
  await browser.close();
  await program.stop();
});

const signal = (side: string) => page.getByRole('row', { name: new RegExp(`^enamel/tu1/${side}/position `) });
const part = (name: string) => page.getByRole('navigation', { name: 'Parts of the set-up' }).getByRole('link', { name });
const file = () => page.getByLabel(/^Site file, YAML/);
const edit = async (change: (text: string) => string) => file().fill(change(await file().inputValue()));

const keepAndApply = async () => {
  await page.getByRole('button', { name: 'Keep and apply' }).click();
  await page.getByText('Kept, and in force within a few seconds').waitFor();
  await page.getByText('In force.', { exact: true }).waitFor({ timeout: 20_000 });
};

describe('setting up a program that runs', () => {
  it('shows a signal as it comes, raw and in millimetres', async () => {
    await expect.poll(() => signal('left').innerText()).toMatch(/8\smA\s+57\.50\smm\s+good\s+\d s old\s+none/);
    reads.left = 12;
    await expect.poll(() => signal('left').innerText()).toMatch(/12\smA\s+115\.00\smm/);
  });

  it('calibrates a sensor from two measured places, and writes down what it reads from now on', async () => {
    await page.getByRole('button', { name: 'Calibrate enamel/tu1/left/position' }).click();
    const calibration = page.getByRole('region', { name: 'Calibration of enamel/tu1/left/position' });
    await calibration.getByText('Lock out and tag out').first().waitFor();
    await calibration.getByLabel('First place, mm').fill('116,5');
    await calibration.getByRole('button', { name: 'Take the reading' }).first().click();
    reads.left = 8;
    await calibration.getByText('reads 8 now').waitFor();
    await calibration.getByLabel('Second place, mm').fill('58.5');
    await calibration.getByRole('button', { name: 'Take the reading' }).nth(1).click();
    expect(await calibration.locator('pre').innerText()).toBe('scale: { from: [8, 12], to: [58.5, 116.5] }');

    // The carriage stands where it stood; by the new scale it is a millimetre further out.
    const reading = calibration.getByLabel(/With the new scale the left side reads, carriage unmoved/);
    expect(await reading.inputValue()).toBe('58.5');
    await calibration.getByRole('button', { name: 'Write it down' }).click();
    await calibration.getByText('Written down in the service log').waitFor();
    const entries = await page.evaluate(async () => (await fetch('/api/takeups/enamel/tu1/entries')).json() as Promise<unknown>);
    expect(JSON.stringify(entries)).toMatch(
      /"kind":"sensor-rezeroed".*"side":"left".*"position_mm":58\.5|"side":"left".*"kind":"sensor-rezeroed"/,
    );
  });

  it('shows a fault of the site file at its line while it is typed, and does not keep it', async () => {
    await part('Site file').click();
    await edit((text) => text.replace('stroke_mm', 'strokes_mm'));
    const fault = page.getByRole('listitem').filter({ hasText: 'strokes_mm' });
    await fault.getByText('Probably meant: stroke_mm').waitFor();
    expect(await page.getByRole('button', { name: 'Keep and apply' }).isDisabled()).toBe(true);
    await fault.getByRole('button', { name: 'Line 10' }).click();
    expect(await file().evaluate((area: HTMLTextAreaElement) => area.value.slice(area.selectionStart, area.selectionEnd))).toBe(
      '        strokes_mm: 230',
    );
    await page.getByRole('button', { name: 'Undo all changes' }).click();
    expect(await file().inputValue()).toBe(SITE);
  });

  it('puts a changed site file in force while everything runs on', async () => {
    await edit((text) =>
      text
        .replace('Enamel furnace line', 'Enamel furnace line, rebuilt')
        .replace('from: [4, 20], to: [0, 230]', 'from: [8, 12], to: [58.5, 116.5]'),
    );
    await page.getByText('No faults.').waitFor();
    await keepAndApply();

    expect(readFileSync(join(program.folder, 'site.yaml'), 'utf8')).toContain('Enamel furnace line, rebuilt');
    expect(program.process.exitCode).toBeNull();
    expect(program.sensors.connected).toBe(true);
    expect(await page.getByRole('button', { name: 'Keep and apply' }).isDisabled()).toBe(true);
    await part('Signals').click();
    await expect.poll(() => signal('left').innerText()).toMatch(/8\smA\s+58\.50\smm\s+good/);
    await page.getByRole('link', { name: 'Floor' }).click();
    await page.getByRole('link', { name: 'Enamel furnace line, rebuilt tu1' }).click();
    // The sensor was calibrated, the carriage did not move: nothing is raised.
    await page.getByText('Nothing is out of the ordinary.').waitFor();
  });

  it('keeps what the file was before, and takes it back', async () => {
    await page.getByRole('link', { name: 'Set-up' }).click();
    await part('Site file').click();
    const versions = page.getByRole('region', { name: 'What it was before' }).getByRole('listitem');
    await expect.poll(() => versions.count()).toBe(2);
    expect(await versions.first().innerText()).toMatch(/engineer\s+the latest/);
    expect(await versions.nth(1).innerText()).toContain('as it was found at a start');
    await versions
      .nth(1)
      .getByRole('button', { name: /Put into the field/ })
      .click();
    await expect.poll(() => file().inputValue()).toBe(SITE);
    await page.getByText('No faults.').waitFor();
    await keepAndApply();
    expect(readFileSync(join(program.folder, 'site.yaml'), 'utf8')).toBe(SITE);
    await expect.poll(() => versions.count()).toBe(3);
  });

  it('does not write over what somebody else has kept meanwhile', async () => {
    const elsewhere = await browser.newContext({ locale: 'en-GB', storageState: await page.context().storageState() });
    const other = await elsewhere.newPage();
    await other.goto(`${program.url}/#/set-up/site-file`);
    const theirs = other.getByLabel(/^Site file, YAML/);
    await theirs.waitFor();
    await edit((text) => text.replace('column C14', 'column C15'));
    await page.getByText('No faults.').waitFor();
    await keepAndApply();
    await theirs.fill((await theirs.inputValue()).replace('column C14', 'pit 3'));
    await other.getByText('No faults.').waitFor();
    await other.getByRole('button', { name: 'Keep and apply' }).click();
    await other.getByText('Somebody has changed the site file meanwhile').waitFor();
    expect(readFileSync(join(program.folder, 'site.yaml'), 'utf8')).toContain('column C15');
    await elsewhere.close();
  });

  it('says who is on call, and by which ladder', async () => {
    await part('People and rota').click();
    const rota = page.getByRole('region', { name: 'Who is on call' });
    await rota.getByText(/^(Marta|Jonas), then (Marta|Jonas)\. Hand-over every Monday 07:00\.$/).waitFor();
    expect(await rota.innerText()).toContain('Weeks in turn: Marta, Jonas.');
    expect(await rota.getByRole('listitem').innerText()).toMatch(/urgent: on call at once, everyone after 5\smin/i);
    expect(program.complained()).not.toMatch(/\n\s+at /);
    // While it began anew nobody answered, which browsers say of themselves.
    expect(complaints.filter((words) => !words.includes('net::ERR_CONNECTION'))).toEqual([]);
  });
});
