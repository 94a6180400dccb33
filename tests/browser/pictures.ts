import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Browser, Page } from 'playwright-core';

/** Fields along a picture's width; a field of a wide screen is 60 px. */
const FIELDS = 32;
/** A field differs plainly from here on, of 255: the letters of another machine move it by less. */
const PLAINLY = 20;
/** Pictures are kept at half their size. */
const KEPT_SCALE = 0.5;

const keptFile = (name: string): string => fileURLToPath(new URL(`pictures/${name}.jpg`, import.meta.url));

/** What is kept of a page under a name; `undefined` where nothing is. */
export function keptPicture(name: string): Buffer | undefined {
  return existsSync(keptFile(name)) ? readFileSync(keptFile(name)) : undefined;
}

/** How wide letters and figures come out here, px: by it a machine with letters of its own is known. */
export function lettersPx(page: Page): Promise<number> {
  return page.evaluate(() => {
    const span = document.createElement('span');
    span.textContent = 'Travel nearly used up 0123456789';
    document.body.append(span);
    const { width } = span.getBoundingClientRect();
    span.remove();
    return width;
  });
}

/** Keeps a picture from now on. */
export async function keepPicture(browser: Browser, name: string, shot: Buffer): Promise<void> {
  mkdirSync(fileURLToPath(new URL('pictures', import.meta.url)), { recursive: true });
  writeFileSync(
    keptFile(name),
    Buffer.from(await onBlankPage(browser, (page) => page.evaluate(halved, { address: asAddress(shot), scale: KEPT_SCALE })), 'base64'),
  );
}

/** Share of the fields in which two pictures differ plainly, looked at from so far away that no letter can be read. */
export function howFarApart(browser: Browser, one: Buffer, other: Buffer): Promise<number> {
  return onBlankPage(browser, (page) =>
    page.evaluate(compared, { addresses: [asAddress(one), asAddress(other)], fields: FIELDS, plainly: PLAINLY }),
  );
}

/** A page of no address, whose content policy does not forbid pictures out of a text. */
async function onBlankPage<T>(browser: Browser, work: (page: Page) => Promise<T>): Promise<T> {
  const page = await browser.newPage();
  try {
    return await work(page);
  } finally {
    await page.close();
  }
}

function asAddress(picture: Buffer): string {
  const kind = picture.subarray(1, 4).toString() === 'PNG' ? 'png' : 'jpeg';
  return `data:image/${kind};base64,${picture.toString('base64')}`;
}

/** Runs in the page. */
async function halved({ address, scale }: { readonly address: string; readonly scale: number }): Promise<string> {
  const picture = new Image();
  picture.src = address;
  await picture.decode();
  const canvas = document.createElement('canvas');
  [canvas.width, canvas.height] = [picture.width * scale, picture.height * scale];
  const context = canvas.getContext('2d');
  if (context === null) throw new Error('this browser draws nothing');
  context.imageSmoothingQuality = 'high';
  context.drawImage(picture, 0, 0, canvas.width, canvas.height);
  return canvas.toDataURL('image/jpeg', 0.7).replace(/^.*,/, '');
}

interface Comparison {
  readonly addresses: readonly string[];
  readonly fields: number;
  readonly plainly: number;
}

/** Runs in the page: the middle colour of each field of both pictures, and how far they are apart. */
async function compared({ addresses, fields, plainly }: Comparison): Promise<number> {
  const [first, second] = await Promise.all(
    addresses.map(async (address) => {
      const picture = new Image();
      picture.src = address;
      await picture.decode();
      // Each field as 8 by 8 points, whatever the size of the picture.
      const [width, rows] = [fields * 8, Math.round((fields * picture.height) / picture.width)];
      const canvas = new OffscreenCanvas(width, rows * 8);
      const context = canvas.getContext('2d');
      if (context === null) throw new Error('this browser draws nothing');
      context.imageSmoothingQuality = 'high';
      context.drawImage(picture, 0, 0, width, rows * 8);
      const { data } = context.getImageData(0, 0, width, rows * 8);
      const sums = new Float64Array(fields * rows * 3);
      for (let y = 0; y < rows * 8; y++) {
        for (let x = 0; x < width; x++) {
          const field = Math.floor(y / 8) * fields + Math.floor(x / 8);
          for (let channel = 0; channel < 3; channel++) {
            const at = field * 3 + channel;
            sums[at] = (sums[at] ?? 0) + (data[(y * width + x) * 4 + channel] ?? 0) / 64;
          }
        }
      }
      return sums;
    }),
  );
  if (first === undefined || second === undefined || first.length !== second.length) return 1;
  let plain = 0;
  const count = first.length / 3;
  for (let field = 0; field < count; field++) {
    const differs = Math.max(
      ...[0, 1, 2].map((channel) => Math.abs((first[field * 3 + channel] ?? 0) - (second[field * 3 + channel] ?? 0))),
    );
    if (differs > plainly) plain += 1;
  }
  return plain / count;
}
