import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { pageOf, startProgramWithSensors, type ProgramWithSensors } from './a-program.js';
import { launchChromium } from './chromium.js';

const PHONE = { width: 360, height: 740 };
const MINUTE_MS = 60_000;
/** How far apart readings are: a whole shift is few enough messages. */
const EVERY_MS = 10_000;
const PITCH_MM = 76.2;
const FROM_MM = 205;

const line = (id: string): string => `
  - id: ${id}
    name: Line ${id}
    chain: { pitch_mm: ${String(PITCH_MM)}, pitches: 3200, repeat_pitches: 2, wear_limit_pct: 2 }
    signals: { running: { period_s: 10 } }
    takeups:
      - id: tu1
        location: column C14
        wrap_deg: 180
        stroke_mm: 230
        nut_lead_mm: 3
        spring: { free_mm: 460, rate_n_per_mm: 9.5, solid_mm: 190, clearance_mm: 16 }
        reference: { at: 2026-01-05T06:00:00Z, position_mm: 40 }
        sides:
          left: { position: { period_s: 10 }, set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 250 } }
          right: { position: { period_s: 10 }, set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 250 } }`;
const SITE = `site: { id: works, name: Alder Point Cookware, timezone: Europe/Oslo, units: metric }\nconveyors:${line('right')}${line('wrong')}\n`;

/** Settled before the work, a stop of forty minutes, and an hour and a half of running after it: all of it over when the test begins. */
const RESTART_MS = Date.now() - 90 * MINUTE_MS;
const STOP_MS = RESTART_MS - 40 * MINUTE_MS;
const BEGIN_MS = STOP_MS - 40 * MINUTE_MS;

let program: ProgramWithSensors;
let browser: Browser;
let page: Page;

beforeAll(async () => {
  program = await startProgramWithSensors(SITE);
  browser = await launchChromium();
  page = await pageOf(program, browser, PHONE);
});
afterAll(async () => {
  await browser.close();
  await program.stop();
});

/** Readings of both sides with their own times; running, the carriage goes to and fro by a millimetre either way. */
async function reads(conveyor: string, fromMs: number, toMs: number, running: boolean, atMm: number): Promise<void> {
  const sent: Promise<unknown>[] = [];
  const say = (signal: string, value: unknown, time: number): void => {
    const topic = `takeline/works/in/${conveyor}/${signal}`;
    sent.push(program.sensors.publishAsync(topic, JSON.stringify({ value, time }), { qos: 1 }));
  };
  for (let time = fromMs; time < toMs; time += EVERY_MS) {
    say('running', running ? 1 : 0, time);
    const mm = atMm + (running ? Math.sin(time / 40_000) : 0);
    say('tu1/left/position', Number(mm.toFixed(2)), time);
    say('tu1/right/position', Number((mm + 0.4).toFixed(2)), time);
  }
  await Promise.all(sent);
}

/** Where the carriage settles once so many pitches are out: x − k·p·(1+ε)/g, ε from 165 mm of travel since the reference. */
function settles(pitches: number): number {
  const elongation = (2 * (FROM_MM - 40)) / (3200 * PITCH_MM);
  return FROM_MM - (pitches * PITCH_MM * (1 + elongation)) / 2;
}

/** Plans four pitches out, fills the card in as somebody does who has turned the nuts as planned, and closes it. */
async function worksOff(conveyor: string): Promise<void> {
  // A plan begins with what is known when it is asked for: the readings have come, and this waits until they are judged.
  await expect.poll(async () => (await planOf(conveyor)).basis.source, { timeout: 60_000 }).toBe('live');
  await page.goto(`${program.url}/#/work/plan/${conveyor}/tu1`);
  await page.getByText('From the live picture').waitFor();
  await page.getByRole('button', { name: 'Make the job card for 4 pitches' }).click();
  await page.getByRole('heading', { name: /^Shorten the chain by 4 pitches/ }).waitFor();
  await page.getByRole('button', { name: /^Begin the job/ }).click();
  await page.getByText(/^Begun by engineer/).waitFor();
  for (const box of await page.getByRole('checkbox').all()) await box.check();
  const done = page.getByRole('region', { name: 'Done', exact: true });
  await done.getByLabel('Pitches taken out').fill('4');
  for (const side of ['Left', 'Right']) await done.getByLabel(new RegExp(`^${side} nut, turns`)).fill(await turnsOf(side));
  await done.getByLabel(/^Rock of the chain/).selectOption('in order');
  await done.getByLabel(/^Restraint nuts/).selectOption('run out, as they should be');
  await page.getByRole('button', { name: 'Close the card' }).click();
  await page.getByText(/^Closed by engineer/).waitFor();
}

/** The turns that the card asks for, as a number is typed. */
async function turnsOf(side: string): Promise<string> {
  const words = await page.getByText(new RegExp(`^${side} nut: `)).innerText();
  const [, way = '', whole = '', part = ''] = /(tighten|back off) (\d*)([¼½¾]?)/u.exec(words) ?? [];
  const turns = Number(whole) + ['', '¼', '½', '¾'].indexOf(part) / 4;
  return String(way === 'tighten' ? turns : -turns);
}

const verification = () => page.locator('.verification').innerText();

describe('an hour after the restart, with agent and broker as they are', () => {
  it('the carriage says that the count is right, or which other number it says', async () => {
    await Promise.all(['right', 'wrong'].map((conveyor) => reads(conveyor, BEGIN_MS, STOP_MS, true, FROM_MM)));
    await worksOff('right');
    await expect.poll(verification).toContain('Not yet: it must run an hour first.');
    await worksOff('wrong');

    // Two pitches come out where four were written down.
    const out = { right: settles(4), wrong: settles(2) };
    const both = (fromMs: number, toMs: number, running: boolean) =>
      Promise.all(Object.entries(out).map(([conveyor, atMm]) => reads(conveyor, fromMs, toMs, running, atMm)));
    await both(STOP_MS, RESTART_MS, false);
    await both(RESTART_MS, RESTART_MS + 50 * MINUTE_MS, true);
    await expect.poll(async () => (await entryOf('wrong')).check?.verdict, { timeout: 20_000 }).toBe('count-differs');
    expect(await verification()).toContain('Not yet: it must run an hour first.');
    await both(RESTART_MS + 50 * MINUTE_MS, RESTART_MS + 80 * MINUTE_MS, true);
    await expect
      .poll(verification, { timeout: 20_000 })
      .toContain('4 pitches were planned and written down, the carriage says 2: check the count.');

    await page.goto(page.url().replace('card/2', 'card/1'));
    await expect.poll(verification, { timeout: 20_000 }).toContain('The carriage says the same: 4 pitches out.');
  });

  it('a correction of the count agrees with the carriage, on the card and in the log', async () => {
    await page.goto(page.url().replace('card/1', 'log'));
    const entry = page.getByRole('listitem', { name: /4 pitches taken out/ }).filter({ hasText: 'the carriage says 2: check the count' });
    await entry.getByRole('button', { name: /^Correct: 4 pitches taken out/ }).click();
    const form = page.getByRole('form', { name: /^Correct: 4 pitches taken out/ });
    await form.getByLabel('Pitches taken out').fill('2');
    await form.getByRole('button', { name: 'Write the correction down' }).click();
    const corrected = page.getByRole('listitem').filter({ hasText: '(corrected by ' });
    await expect.poll(() => corrected.innerText()).toMatch(/2 pitches taken out[\s\S]*The carriage says the same: 2 pitches out/);
    await page.goto(page.url().replace('log', 'card/2'));
    await expect.poll(verification).toContain('4 pitches were planned, 2 written down, and the carriage says the same: 2 pitches out.');
  });
});

interface Entry {
  readonly entry: { readonly kind: string };
  readonly check?: { readonly verdict: string };
}

/** What the program answers this page's person at a path. */
async function answerOf<Answer>(path: string): Promise<Answer> {
  return page.evaluate(async (at) => (await (await fetch(at)).json()) as Answer, path);
}

/** What a plan for the conveyor's take-up begins with. */
async function planOf(conveyor: string): Promise<{ readonly basis: { readonly source: string } }> {
  return answerOf(`/api/takeups/${conveyor}/tu1/plan`);
}

/** The removal that stands in the log of a conveyor. */
async function entryOf(conveyor: string): Promise<Entry> {
  const entries = await answerOf<Entry[]>(`/api/entries?conveyor=${conveyor}`);
  const removed = entries.find(({ entry }) => entry.kind === 'chain-removed');
  if (removed === undefined) throw new Error('no removal is written down');
  return removed;
}
