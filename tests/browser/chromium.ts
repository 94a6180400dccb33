import { type Browser, type Page, chromium } from 'playwright-core';
import { findBrowser } from '../../.scripts/browser.mjs';

/** Starts the Chromium that runs on this machine; a machine without one fails the test with what to install. */
export async function launchChromium(): Promise<Browser> {
  const found = await findBrowser();
  if ('fault' in found) throw new Error(found.fault);
  return chromium.launch(found);
}

/** Opens a page as a person in an English-speaking plant has it, whatever the machine's own language. */
export async function openPage(browser: Browser, address: string, size = { width: 1280, height: 800 }): Promise<Page> {
  const page = await browser.newPage({ locale: 'en-GB', timezoneId: 'Europe/Oslo', viewport: size });
  await page.goto(address);
  return page;
}
