import { type Server, createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { missingLibraries } from '../../.scripts/browser.mjs';
import { launchChromium, openPage } from './chromium.js';

const PAGE = `<!doctype html><title>Take-up 1</title><p id="now"></p><script type="module">
  document.querySelector('#now').textContent = new Intl.NumberFormat(undefined, { minimumFractionDigits: 1 }).format(1234.5);
</script>`;

describe('the browser of the tests', () => {
  let browser: Browser;
  let server: Server;

  beforeAll(async () => {
    server = createServer((_, response) => response.setHeader('content-type', 'text/html').end(PAGE));
    await new Promise<void>((ready) => server.listen(0, '127.0.0.1', ready));
    browser = await launchChromium();
  });

  afterAll(async () => {
    await browser.close();
    server.close();
  });

  it('shows a page from this machine, runs its script and draws its words', async () => {
    const page = await openPage(browser, `http://127.0.0.1:${(server.address() as AddressInfo).port}`);
    expect(await page.title()).toBe('Take-up 1');
    expect(await page.textContent('#now')).toBe('1,234.5');
    expect((await page.locator('#now').boundingBox())?.height).toBeGreaterThan(0);
    expect((await page.screenshot()).length).toBeGreaterThan(1000);
  });
});

describe('a system that lacks what the browser needs', () => {
  it.each([
    ['error while loading shared libraries: libnss3.so: cannot open shared object file', 'apt-get install libnss3,'],
    ['error while loading shared libraries: libexpat.so.1: cannot open shared object file', 'apt-get install libexpat1,'],
    ['Exec format error', 'apt-get install chromium,'],
  ])('is told what to install: %s', (words, advice) => {
    expect(missingLibraries(words)).toContain(advice);
  });
});
