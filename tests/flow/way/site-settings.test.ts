import { describe, expect, it } from 'vitest';
import { DEFAULT_SETTINGS } from '../../../agent/flow/way/site-settings.js';
import { siteSettings } from '../../../agent/flow/way/site-settings.js';
import { describeSite } from '../../../agent/site/describe-site.js';
import { readSite } from '../../../agent/site/read-site.js';
import { readFileSync } from 'node:fs';

const SITE = readFileSync('fixtures/replay/stroke-end/site.yaml', 'utf8');

describe('the filter of a site file', () => {
  it('takes the place of what is usual, key by key', () => {
    const reading = readSite(`${SITE}\nfilter: { smoothing_s: 60, window_min: 12 }\n`, 'site.yaml');
    if (!reading.ok) throw new Error(JSON.stringify(reading.faults));
    const { filter, settle } = siteSettings(reading.site.filter);
    expect(filter).toEqual({ ...DEFAULT_SETTINGS.filter, smoothingS: 60 });
    expect(settle).toEqual({ ...DEFAULT_SETTINGS.settle, windowMs: 720_000 });
    expect(describeSite(reading.site)).toContain('Filter, other than is usual: smoothed over 60 s, settled over 12 min');
  });

  it('left out changes nothing', () => {
    const reading = readSite(SITE, 'site.yaml');
    expect(reading.ok && siteSettings(reading.site.filter)).toEqual(DEFAULT_SETTINGS);
  });

  it('is refused where it cannot work', () => {
    const reading = readSite(`${SITE}\nfilter: { smoothing_s: 0 }\n`, 'site.yaml');
    expect(reading.ok ? [] : reading.faults.map(({ key }) => key)).toEqual(['filter.smoothing_s']);
  });
});
