import type { Page } from 'playwright-core';

/**
 * What lies wrong on a page as it stands, a line each: words that are cut or beyond the right edge, a page that goes sideways, words that lie
 * over other words. What scrolls in a frame of its own is left out, and so is what stays on the screen while the rest scrolls.
 */
export function layoutFaults(page: Page): Promise<readonly string[]> {
  return page.evaluate(laidWrong);
}

/** Runs in the page. */
function laidWrong(): readonly string[] {
  const NOT_LAID = '.unseen, .skip, .menu-sheet, .kept, .banner, option, script, style, textarea, svg';
  const faults = new Set<string>();
  const width = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth > width) faults.add(`the page is ${document.documentElement.scrollWidth} px wide`);
  const words: { readonly text: string; readonly box: DOMRect }[] = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walk.nextNode(); node !== null; node = walk.nextNode()) {
    const text = (node.textContent ?? '').trim();
    const holder = node.parentElement;
    if (text === '' || holder === null || holder.closest(NOT_LAID) !== null || !holder.checkVisibility({ visibilityProperty: true }))
      continue;
    const frame = holder.closest('.table-frame, .choice-frame, pre, [style*="overflow"]');
    if (frame !== null) continue;
    // A heading for those who listen is clipped to a point.
    if (holder.getBoundingClientRect().width < 3) continue;
    if (getComputedStyle(holder).overflowX === 'hidden' && holder.scrollWidth > holder.clientWidth + 1) faults.add(`cut: ${text}`);
    const range = document.createRange();
    range.selectNodeContents(node);
    for (const box of range.getClientRects()) {
      if (box.width < 2) continue;
      if (box.right > width + 1) faults.add(`beyond the edge: ${text}`);
      words.push({ text, box });
    }
  }
  for (const field of document.querySelectorAll('button, input, select, textarea')) {
    const box = field.getBoundingClientRect();
    if (box.width > 2 && box.right > width + 1 && field.closest('.table-frame, .choice-frame, .unseen') === null) {
      faults.add(`beyond the edge: ${field.tagName.toLowerCase()} ${field.getAttribute('aria-label') ?? field.textContent}`);
    }
  }
  words.sort((a, b) => a.box.top - b.box.top);
  words.forEach((one, index) => {
    for (const other of words.slice(index + 1)) {
      if (other.box.top > one.box.bottom - 4) break;
      const across = Math.min(one.box.right, other.box.right) - Math.max(one.box.left, other.box.left);
      const down = Math.min(one.box.bottom, other.box.bottom) - other.box.top;
      if (across > 3 && down > 5) faults.add(`over one another: ${one.text} / ${other.text}`);
    }
  });
  return [...faults];
}
