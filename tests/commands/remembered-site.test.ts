import { mkdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { rememberedSite, rememberSite } from '../../agent/commands/remembered-site.js';
import { readSite } from '../../agent/site/read-site.js';
import type { Site } from '../../agent/site/site.js';
import { dataFolder } from '../store/store-twins.js';
import { fixtureSites, goodSite } from '../site/fixture-files.js';

const TEXT = goodSite('full');
const siteOf = (text: string): Site => {
  const reading = readSite(text, 'site.yaml');
  if (!reading.ok) throw new Error('the fixture is good');
  return reading.site;
};

let dataDir: string;
beforeEach(() => {
  dataDir = dataFolder();
});
const file = () => join(dataDir, 'site-read.json');

describe('a site that was read before', () => {
  it.each([...fixtureSites('good').keys()])('(%s) is the same to the last field, and as frozen', async (name) => {
    const site = siteOf(goodSite(name));
    await rememberSite(dataDir, goodSite(name), 'program', site);
    const again = await rememberedSite(dataDir, goodSite(name), 'program');
    expect(again).toStrictEqual(site);
    expect(Object.isFrozen(again?.conveyors[0]?.takeups[0]?.sides)).toBe(true);
  });

  it('is read anew where nothing was kept, where a letter of the file is another, and by another program', async () => {
    expect(await rememberedSite(dataDir, TEXT, 'program')).toBeUndefined();
    await rememberSite(dataDir, TEXT, 'program', siteOf(TEXT));
    expect(await rememberedSite(dataDir, `${TEXT} `, 'program')).toBeUndefined();
    expect(await rememberedSite(dataDir, TEXT, 'next program')).toBeUndefined();
    expect(await rememberedSite(dataDir, TEXT, 'program')).toBeDefined();
  });

  it('is read anew where one figure of what was kept has turned on the disk, and where the half of it is there', async () => {
    await rememberSite(dataDir, TEXT, 'program', siteOf(TEXT));
    const kept = readFileSync(file(), 'utf8');
    const turned = kept.replace('"strokeMm":230', '"strokeMm":231');
    expect(turned).not.toBe(kept);
    for (const spoilt of [turned, kept.slice(0, kept.length / 2), '', '\n\n']) {
      writeFileSync(file(), spoilt);
      expect(await rememberedSite(dataDir, TEXT, 'program')).toBeUndefined();
    }
  });

  it('is for nobody else to read, since it has the telephone numbers of the site file', async () => {
    await rememberSite(dataDir, TEXT, 'program', siteOf(TEXT));
    expect(statSync(file()).mode & 0o077).toBe(0);
  });

  it('that cannot be kept costs the next start its time, and nothing else', async () => {
    mkdirSync(join(dataDir, 'site-read.json'));
    await rememberSite(dataDir, TEXT, 'program', siteOf(TEXT));
    expect(await rememberedSite(dataDir, TEXT, 'program')).toBeUndefined();
    await rememberSite(join(dataDir, 'nowhere'), TEXT, 'program', siteOf(TEXT));
  });
});
