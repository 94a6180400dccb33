import axe from 'axe-core';
import type { Page } from 'playwright-core';

/** What axe-core finds wrong on a page that is serious or worse, a line each: rule, what it asks, and the first place. */
export async function seriousFaults(page: Page): Promise<readonly string[]> {
  // Handed over as an expression, which the content policy of the page does not stop.
  await page.evaluate(axe.source);
  const { violations } = await page.evaluate(() => (globalThis as unknown as { axe: typeof axe }).axe.run());
  return violations
    .filter(({ impact }) => impact === 'serious' || impact === 'critical')
    .map(({ id, help, nodes }) => `${id}: ${help}: ${nodes[0]?.html ?? ''}`);
}
