import { fileURLToPath } from 'node:url';
import { readSiteFile } from '../site/read-site-file.js';
import type { Site } from '../site/site.js';

/** Where the demo's site file lies: beside this file, in the sources as in what is built. */
export const DEMO_SITE_FILE = fileURLToPath(new URL('alder-point.yaml', import.meta.url));

/** The site of the demo: Alder Point Cookware, an invented enamelware works. */
export async function readDemoSite(): Promise<Site> {
  const reading = await readSiteFile(DEMO_SITE_FILE);
  if (!reading.ok) throw new Error(`the demo's site file has faults: ${reading.faults.map(({ message }) => message).join('; ')}`);
  return reading.site;
}
