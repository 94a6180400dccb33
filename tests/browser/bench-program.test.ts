import { readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { folderWith, killProgram, pageOf, startProgram, type Program } from './a-program.js';
import { launchChromium } from './chromium.js';

const CASE = 'fixtures/replay/stroke-end';

let folder: string;
let browser: Browser;
let page: Page;
let running: Program;

beforeAll(async () => {
  folder = folderWith(readFileSync(`${CASE}/site.yaml`, 'utf8'));
  browser = await launchChromium();
  running = await startProgram(folder);
  page = await pageOf(running, browser, { width: 1280, height: 900 });
});
afterAll(async () => {
  await browser.close();
  await killProgram(running);
  rmSync(folder, { recursive: true, force: true });
});

describe('the better of two settings', () => {
  it('goes from the bench through Set-up into force, and its comparison is kept with the change', async () => {
    await page.getByRole('link', { name: 'Bench' }).click();
    await page.getByLabel('CSV, .csv.gz or Parquet').setInputFiles(`${CASE}/recording.csv`);
    await page.getByRole('button', { name: 'Send and replay' }).click();
    await page.getByText('Replayed.').waitFor();
    const field = page.getByLabel('Site file: limits, delays, springs, references');
    await field.fill((await field.inputValue()).replace('sides:', 'limits: { stroke-low: { remaining_mm: 60 } }\n        sides:'));
    await page.getByLabel('Smoothing time, s').fill('60');
    await page.getByRole('button', { name: 'Replay with this setting' }).click();
    await page.getByRole('row', { name: /Travel low/ }).waitFor();
    await page.getByRole('button', { name: 'Take it to Set-up, to apply it' }).click();

    await page.getByRole('heading', { name: 'From the bench: what differs from the file in force' }).waitFor();
    expect(await page.getByLabel('Lines that differ from the file in force').textContent()).toContain('+ filter: { smoothing_s: 60 }');
    expect(await page.getByLabel('Why it is changed; kept with the change').inputValue()).toMatch(
      /^Tried on the bench on recording\.csv.*Travel low, enamel tu1: earlier by/s,
    );
    await page.getByRole('button', { name: 'Keep and apply' }).click();
    await page.getByText('Kept, and in force within a few seconds', { exact: false }).waitFor();
    await page.getByText('Why: Tried on the bench on recording.csv', { exact: false }).waitFor({ timeout: 20_000 });
    const kept = readFileSync(join(folder, 'site.yaml'), 'utf8');
    expect(kept).toContain('filter: { smoothing_s: 60 }');
    expect(kept).toContain('stroke-low: { remaining_mm: 60 }');
    expect(running.complained()).not.toContain('rror');
  });
});
