import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { startPlant, type Plant } from '../web/a-plant.js';
import { engineer, visitor, type Visitor } from '../web/a-visitor.js';

const DAYS = '/api/takeups/line1/tu1/days?from=2026-01-01&to=2026-02-01';

let plant: Plant;
/** Signed in once: tries are counted. */
let boss: Visitor;
beforeAll(async () => {
  plant = await startPlant({ history: { settledDays: (conveyor, takeup) => Promise.resolve([{ ...A_DAY, conveyor, takeup }]) } });
  boss = await engineer(plant.web);
});
afterAll(() => plant.stop());

const A_DAY = {
  ...{
    kind: 'settled-day' as const,
    date: '2026-01-05',
    windows: 40,
    positionMm: 61.2,
    skewMm: 1,
    breathingMm: NaN,
    thermalMm: 0,
    elasticMm: 0,
  },
  ...{
    pitches: 3200,
    elongationPct: 0.41,
    wearPerJointMm: 0.3,
    springLeftMm: 250,
    springRightMm: 249,
    strandTensionN: 1280,
    flag: 'value' as const,
  },
};

const wellFormed = async (response: Response) => {
  expect(response.headers.get('content-type')).toContain('application/problem+json');
  const body: unknown = await response.json();
  expect(body).toMatchObject({ status: response.status, title: expect.any(String) as string, detail: expect.any(String) as string });
  return body as { type: string; detail: string };
};

describe('without a session', () => {
  it.each([
    ['GET', '/api/me'],
    ['GET', '/api/site'],
    ['GET', '/api/alarms'],
    ['GET', '/api/people'],
    ['GET', DAYS],
    ['POST', '/api/alarms/acknowledge'],
  ])('%s %s tells nothing', async (method, path) => {
    const response = await visitor(plant.web.url).ask(method, path, method === 'POST' ? {} : undefined);
    expect(response.status).toBe(401);
    expect((await wellFormed(response)).type).toBe('urn:takeline:problem:not-signed-in');
  });

  it('tells only whether the server is well', async () => {
    const response = await fetch(`${plant.web.url}/healthz`);
    expect(Object.keys((await response.json()) as object)).toEqual(['status', 'broker', 'agent']);
  });

  it('takes a cookie that somebody made up for none', async () => {
    const response = await visitor(plant.web.url).ask('GET', '/api/me', undefined, {
      cookie: 'takeline-alder-point=bm90aGluZw%3D%3D%3BAAAA',
    });
    expect(response.status).toBe(401);
  });
});

describe('signing in', () => {
  it('answers who one is and what one may do, and keeps the session where no script reads it', async () => {
    const response = await visitor(plant.web.url).ask('POST', '/api/session', plant.web.firstPassword);
    expect(await response.json()).toMatchObject({
      name: 'engineer',
      role: 'engineer',
      permissions: expect.arrayContaining(['see']) as string[],
    });
    const [cookie] = response.headers.getSetCookie();
    expect(cookie).toMatch(/HttpOnly/);
    expect(cookie).toMatch(/SameSite=Strict/);
  });

  it('does not say whether the name or the password is wrong', async () => {
    const answers = await Promise.all(
      ['engineer', 'nobody'].map(async (name) =>
        (await visitor(plant.web.url).ask('POST', '/api/session', { name, password: 'wrong' })).text(),
      ),
    );
    expect(answers[0]).toEqual(answers[1]);
  });

  it('ends with signing out, for whoever has a copy of the cookie too', async () => {
    const somebody = await engineer(plant.web);
    const copy = { cookie: somebody.cookie() };
    expect((await somebody.ask('GET', '/api/me')).status).toBe(200);
    expect((await somebody.ask('DELETE', '/api/session')).status).toBe(204);
    expect((await somebody.ask('GET', '/api/me')).status).toBe(401);
    expect((await visitor(plant.web.url).ask('GET', '/api/me', undefined, copy)).status).toBe(401);
  });
});

describe('signed in', () => {
  it('gives the site with set-points and words', async () => {
    const site: unknown = await (await boss.ask('GET', '/api/site')).json();
    expect(site).toMatchObject({ id: 'alder-point', conveyors: [{ takeups: [{ setPoints: { 'stroke-low': 46 } }, {}] }] });
  });

  it('gives the days of a take-up, unknown as null', async () => {
    const response = await boss.ask('GET', DAYS);
    expect(await response.json()).toEqual([{ ...A_DAY, conveyor: 'line1', takeup: 'tu1', breathingMm: null }]);
  });

  it('gives raw readings of a stretch as a file with a name of its own', async () => {
    const response = await boss.ask('GET', '/api/export?from=1772431200000&to=1772434800000&conveyor=line1&takeup=tu1&form=parquet');
    expect(response.headers.get('content-disposition')).toBe('attachment; filename="line1_tu1_20260302T0600Z_20260302T0700Z.parquet"');
    expect(await response.json()).toMatchObject({ conveyor: 'line1', takeup: 'tu1', fromMs: 1772431200000, form: 'parquet' });
  });

  it('lists what is kept for good, and says what the history takes', async () => {
    expect(await (await boss.ask('GET', '/api/recorder?conveyor=line1')).json()).toEqual([]);
    expect(await (await boss.ask('GET', '/api/disk')).json()).toMatchObject({ totalBytes: 0, blocks: { readings: 0 } });
  });

  it('gives the position of a take-up as a picture of so many pixels, in columns', async () => {
    const response = await boss.ask('GET', '/api/takeups/line1/tu1/series?from=1770000000000&to=1770086400000&px=1500');
    expect(await response.json()).toMatchObject({ source: 'minutes', widthMs: 60_000, timeMs: [], maxMm: [], settledMm: [] });
  });

  it.each([
    ['/api/takeups/line1/tu9/days?from=2026-01-01&to=2026-02-01', 404],
    ['/api/takeups/line1/tu1/days?from=2026-02-30&to=2026-03-01', 400],
    ['/api/takeups/line1/tu1/days?from=2026-02-01&to=2026-01-01', 400],
    ['/api/takeups/line1/tu1/days?from=yesterday&to=today', 400],
    ['/api/takeups/line1/tu1/minutes?fromMs=20&toMs=10', 400],
    ['/api/takeups/line1/tu9/series?from=10&to=20', 404],
    ['/api/takeups/line1/tu1/series?from=20&to=10', 400],
    ['/api/export?from=20&to=10', 400],
    ['/api/export?from=10&to=20&takeup=tu1', 400],
    ['/api/export?from=10&to=20&form=xlsx', 400],
    ['/api/recorder?limit=0', 400],
    ['/api/alarms?limit=0', 400],
    ['/api/nothing', 404],
  ])('%s is refused in words', async (path, status) => {
    const response = await boss.ask('GET', path);
    expect(response.status).toBe(status);
    expect((await wellFormed(response)).detail).not.toMatch(/undefined|\[object/);
  });
});

describe('every answer', () => {
  it('forbids scripts, styles and frames that are not ours', async () => {
    const policy = (await fetch(`${plant.web.url}/healthz`)).headers.get('content-security-policy');
    expect(policy).toContain("default-src 'none'");
    expect(policy).toContain("script-src 'self'");
    expect(policy).toContain("frame-ancestors 'none'");
    expect(policy).not.toContain('unsafe');
  });
});

describe('a request from elsewhere', () => {
  it.each([{ origin: 'http://elsewhere.example' }, { origin: 'null' }])('changes nothing: %o', async (headers) => {
    const response = await boss.ask('DELETE', '/api/session', undefined, headers);
    expect(response.status).toBe(403);
    expect((await wellFormed(response)).type).toBe('urn:takeline:problem:other-origin');
  });

  it('is not read as plain text, which a form can send', async () => {
    const response = await boss.ask('POST', '/api/alarms/acknowledge', {}, { 'content-type': 'text/plain' });
    expect(response.status).toBe(415);
  });
});
