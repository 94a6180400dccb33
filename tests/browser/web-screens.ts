import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import type { WebServerStarted } from '../../web/server/web-server.js';
import { startPlant, type Plant, type PlantOptions } from '../web/a-plant.js';
import { openPage } from './chromium.js';

const CLIENT = fileURLToPath(new URL('../../dist/web/client', import.meta.url));

/** A plant that serves the screens as they are built. */
export function startPlantWithScreens(options: PlantOptions = {}): Promise<Plant> {
  if (!existsSync(CLIENT)) throw new Error('the screens are not built: run npm run build');
  return startPlant({ ...options, clientDir: CLIENT });
}

/** What a page complained of: errors of its scripts, and what its content policy stopped. */
export function complaintsOf(page: Page): string[] {
  const complaints: string[] = [];
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => {
    // That nobody is signed in is asked, and answered with 401, at the start.
    if (message.type() === 'error' && !message.text().includes('401')) complaints.push(message.text());
  });
  return complaints;
}

/** The cookies of the first sign-in of each person at each server: only ten sign-ins a minute are let through, and a quick machine has more tests. */
const sessions = new Map<string, Awaited<ReturnType<ReturnType<Page['context']>['cookies']>>>();

/** Opens the page, signed in as the engineer of the first start. */
export async function signedInPage(
  browser: Browser,
  { url, firstPassword }: WebServerStarted,
  size?: { width: number; height: number },
): Promise<Page> {
  const page = await openPage(browser, url, size);
  const name = firstPassword?.name ?? 'engineer';
  const key = `${name} at ${url}`;
  const cookies = sessions.get(key);
  if (cookies !== undefined) {
    await page.context().addCookies(cookies);
    await page.reload();
  }
  await page.locator('.shell').or(page.getByLabel('Name')).first().waitFor();
  if (await page.locator('.shell').isVisible()) return page;
  await page.getByLabel('Name').fill(name);
  await page.getByLabel('Password').fill(firstPassword?.password ?? '');
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.locator('.shell').waitFor();
  sessions.set(key, await page.context().cookies());
  return page;
}
