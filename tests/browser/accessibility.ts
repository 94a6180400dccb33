import axe from 'axe-core';
import type { Page } from 'playwright-core';

/** Everything that axe-core finds wrong on a page, a line each: rule, what it asks, and the first places. */
export async function faultsOf(page: Page): Promise<readonly string[]> {
  await page.evaluate(axe.source);
  const { violations } = await page.evaluate(() => (globalThis as unknown as { axe: typeof axe }).axe.run());
  return violations.map(({ id, help, nodes }) => {
    const places = nodes.slice(0, 4).map(({ html, failureSummary }) => `${html.slice(0, 200)} ${failureSummary ?? ''}`);
    return `${id}: ${help}: ${places.join(' | ')}`;
  });
}

/** What axe-core finds wrong on a page that is serious or worse, a line each: rule, what it asks, and the first place. */
export async function seriousFaults(page: Page): Promise<readonly string[]> {
  // Handed over as an expression, which the content policy of the page does not stop.
  await page.evaluate(axe.source);
  const { violations } = await page.evaluate(() => (globalThis as unknown as { axe: typeof axe }).axe.run());
  return violations
    .filter(({ impact }) => impact === 'serious' || impact === 'critical')
    .map(({ id, help, nodes }) => `${id}: ${help}: ${nodes[0]?.html ?? ''}`);
}
