import { once } from 'node:events';
import { rmSync } from 'node:fs';
import type { MqttClient } from 'mqtt';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { inTopic } from '../../agent/contract/topics.js';
import { within } from './a-machine.js';
import { folderWith, killProgram, pageOf, sensorOf, startProgram, type Program } from './a-program.js';
import { launchChromium } from './chromium.js';
import { ENAMEL_SITE } from './enamel-site.js';

/** A line that stays open and says nothing is noticed by the missing sign of life, which comes every second. */
const NOTICED_MS = 6_000;
const HEALED_MS = 20_000;

let folder: string;
let program: Program;
let sensor: MqttClient;
let browser: Browser;
let page: Page;

beforeAll(async () => {
  folder = folderWith(ENAMEL_SITE);
  program = await startProgram(folder);
  sensor = await sensorOf(program);
  browser = await launchChromium();
  page = await pageOf(program, browser);
  await page.locator('.row').waitFor();
  // A page that was loaded anew would not know it any more.
  await page.evaluate(() => Object.assign(globalThis, { loadedOnce: true }));
});
afterAll(async () => {
  await browser.close();
  await sensor.endAsync(true);
  program.process.kill('SIGCONT');
  await killProgram(program);
  rmSync(folder, { recursive: true, force: true });
});

const read = async (positionMm: number) => {
  for (const side of ['left', 'right'])
    await sensor.publishAsync(inTopic('works', `enamel/tu1/${side}/position`), String(positionMm), { qos: 1 });
};
const banner = () => page.getByRole('alert');
/** Where the left half of the carriage is drawn, mm. */
const drawnMm = async (): Promise<number> => {
  const [rail, carriage] = await Promise.all([page.locator('.rail').boundingBox(), page.locator('.carriage rect').first().boundingBox()]);
  return rail === null || carriage === null ? NaN : ((carriage.x + carriage.width / 2 - rail.x) / rail.width) * 230;
};
const ageS = async (): Promise<number> => Number(/(\d+) s old/.exec(await page.locator('.row .age').innerText())?.[1]);
const isSamePage = () => page.evaluate(() => 'loadedOnce' in globalThis);

describe('a server that the screens have lost', () => {
  it('is missed within seconds when it stands still, and the age of every figure goes on', async () => {
    await read(92);
    await expect.poll(drawnMm, within(5_000)).toBeCloseTo(92, 0);
    program.process.kill('SIGSTOP');
    await expect.poll(() => banner().innerText(), within(NOTICED_MS)).toContain('No connection to the Takeline server');
    expect(await page.locator('.row.stale').count()).toBe(1);
    expect(await page.locator('.live-state').innerText()).toBe('Stale');
    const before = await ageS();
    await expect.poll(ageS, within(5_000)).toBeGreaterThan(before + 1);
  });

  it('is back by itself when it goes on, with what was read meanwhile', async () => {
    program.process.kill('SIGCONT');
    await expect.poll(() => banner().count(), within(HEALED_MS)).toBe(0);
    await read(140);
    await expect.poll(drawnMm, within(5_000)).toBeCloseTo(140, 0);
    expect(await isSamePage()).toBe(true);
  });

  it('is missed at once when it is killed, and found again when it is started', async () => {
    const port = new URL(program.url).port;
    program.process.kill('SIGKILL');
    await once(program.process, 'exit');
    await expect.poll(() => banner().innerText(), within(2_000)).toContain('No connection to the Takeline server');
    await sensor.endAsync(true);
    program = await startProgram(folder, port);
    await expect.poll(() => banner().count(), within(HEALED_MS)).toBe(0);
    sensor = await sensorOf(program);
    await read(60);
    await expect.poll(drawnMm, within(5_000)).toBeCloseTo(60, 0);
    expect(await isSamePage()).toBe(true);
  });
});
