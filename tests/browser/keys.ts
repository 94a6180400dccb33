import type { Locator, Page } from 'playwright-core';

/** More stops than any page has on the way to what is looked for. */
const MOST_STOPS = 140;

/** Goes on with the tab key until it is there, as somebody without a mouse does. */
export async function tabTo(page: Page, target: Locator): Promise<void> {
  await target.waitFor();
  for (let stop = 0; stop < MOST_STOPS; stop++) {
    await page.keyboard.press('Tab');
    if (await target.evaluate((element) => element === document.activeElement)) return;
  }
  throw new Error('the tab key does not lead there');
}

/** Goes there by the tab key, and presses. */
export async function pressOn(page: Page, target: Locator, key = 'Enter'): Promise<void> {
  await tabTo(page, target);
  await page.keyboard.press(key);
}
