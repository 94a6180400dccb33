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

/** Opens the sign-in page and signs in as the engineer of the first start. */
export async function signedInPage(
  browser: Browser,
  { url, firstPassword }: WebServerStarted,
  size?: { width: number; height: number },
): Promise<Page> {
  const page = await openPage(browser, url, size);
  await page.getByLabel('Name').fill(firstPassword?.name ?? 'engineer');
  await page.getByLabel('Password').fill(firstPassword?.password ?? '');
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.locator('.shell').waitFor();
  return page;
}
