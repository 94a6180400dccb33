import { execFileSync } from 'node:child_process';
import { once } from 'node:events';
import { readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ensureMosquitto } from '../../.scripts/mosquitto.mjs';
import { slowness, within } from './a-machine.js';
import { folderWith, killProgram, pageOf, startProgram, type Program } from './a-program.js';
import { launchChromium } from './chromium.js';
import { ENAMEL_SITE } from './enamel-site.js';

let folder: string;
let publisher: string;
let browser: Browser;
let page: Page;
let running: Program;

beforeAll(async () => {
  const mosquitto = await ensureMosquitto();
  if ('fault' in mosquitto) throw new Error(mosquitto.fault);
  publisher = mosquitto.publisher;
  folder = folderWith(ENAMEL_SITE);
  browser = await launchChromium();
  running = await startProgram(folder);
  page = await pageOf(running, browser, { width: 1920, height: 1080 });
  await page.getByText('Enamel furnace line').first().waitFor();
});
afterAll(async () => {
  await browser.close();
  await killProgram(running);
  rmSync(folder, { recursive: true, force: true });
});

/** Publishes with the real mosquitto_pub, signed in as a sensor; each payload a message of its own. */
function publish(side: 'left' | 'right', ...payloads: string[]): void {
  const password = readFileSync(join(folder, 'data/secrets/sensor.txt'), 'utf8').trim();
  const to = ['-h', '127.0.0.1', '-p', running.port, '-u', 'sensor', '-P', password, '-q', '1', '-l'];
  execFileSync(publisher, [...to, '-t', `takeline/works/in/enamel/tu1/${side}/position`], { input: `${payloads.join('\n')}\n` });
}

/** Where the left half of the carriage is drawn, as a share of the stroke. */
async function drawnAt(): Promise<number> {
  const [rail, carriage] = await Promise.all([
    page.locator('.rail').first().boundingBox(),
    page.locator('.carriage rect').first().boundingBox(),
  ]);
  if (rail === null || carriage === null) return NaN;
  return (carriage.x + carriage.width / 2 - rail.x) / rail.width;
}

describe('the whole program, with a real publisher and a real browser', () => {
  it('draws the carriage where the reading says, within a second of it', async () => {
    publish('left', '92');
    publish('right', '92');
    await expect.poll(drawnAt, within(5_000)).toBeCloseTo(92 / 230, 2);
    publish('left', '150');
    await expect.poll(drawnAt, within(1_000)).toBeCloseTo(150 / 230, 2);
  });

  it('says that a side is unknown whose sensor sends no readings, and does not draw it where it was', async () => {
    publish('left', 'garbage', '{"value":"near the end"}', '{}');
    publish('right', '92');
    await expect.poll(() => page.locator('.row').first().innerText(), within(3_000)).toMatch(/unknown|fault/i);
  });

  it('raises the alarm when the carriage has stood at the end of its stroke for ten seconds', async () => {
    const now = Date.now();
    const seconds = Array.from({ length: 20 }, (_, second) => JSON.stringify({ value: 222, time: now + second * 1000 }));
    publish('left', ...seconds);
    publish('right', ...seconds);
    await expect.poll(() => page.locator('.row').first().innerText(), within(2_000)).toContain('Travel nearly used up');
    await page.getByRole('link', { name: /Alarms/ }).click();
    await page.getByText('The carriage is almost at its outer stop').first().waitFor();
  });

  it('ends within two seconds on SIGTERM, and stands by what it knew when it is started again within three', async () => {
    const begun = performance.now();
    running.process.kill('SIGTERM');
    const [code] = (await once(running.process, 'exit')) as [number | null];
    expect(code).toBe(0);
    expect(performance.now() - begun).toBeLessThan(2_000 * slowness());
    await page
      .getByText(/connection|not connected|no longer live/i)
      .first()
      .waitFor();

    running = await startProgram(folder);
    await page.goto(running.url);
    await page.getByText('Travel nearly used up').first().waitFor();
  });
});
