import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openDuckDb, sqlText } from '../../agent/recording/duckdb-session.js';
import { MAIN, pageOf, startProgramWithSensors, type ProgramWithSensors } from './a-program.js';
import { launchChromium } from './chromium.js';

const SITE = `
site: { id: works, name: Alder Point Cookware, timezone: Europe/Oslo, units: metric }
conveyors:
  - id: enamel
    name: Enamel furnace line
    chain: { pitch_mm: 76.2, pitches: 3200, repeat_pitches: 2, wear_limit_pct: 2 }
    takeups:
      - id: tu1
        location: column C14
        wrap_deg: 180
        stroke_mm: 230
        nut_lead_mm: 3
        spring: { free_mm: 460, rate_n_per_mm: 9.5, solid_mm: 190, clearance_mm: 16 }
        reference: { at: 2026-01-05T06:00:00Z, position_mm: 40 }
        sides:
          left: { set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 250 } }
          right: { set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 250 } }
`;

/** One kind of work: what is filled in where, how the log tells it, and what is corrected to what. */
interface Work {
  readonly kind: string;
  readonly fill: Readonly<Record<string, string>>;
  readonly choose?: Readonly<Record<string, string>>;
  readonly told: RegExp;
  readonly correct?: { readonly field: string; readonly to: string; readonly told: RegExp };
}

/** Every kind that the contract has, in an order in which each can be true. */
const WORK: readonly Work[] = [
  { kind: 'Service begun', fill: {}, told: /^service begun/i },
  {
    kind: 'Chain taken out',
    fill: { 'Pitches taken out': '4', 'Carriers taken off': '1' },
    told: /^4 pitches taken out, 1 carrier with them/,
    correct: { field: 'Pitches taken out', to: '2', told: /^2 pitches taken out/ },
  },
  {
    kind: 'Chain put in',
    fill: { 'Pitches put in': '2' },
    told: /^2 pitches put in/,
    correct: { field: 'Pitches put in', to: '4', told: /^4 pitches put in/ },
  },
  {
    kind: 'Adjusting nut turned',
    fill: { 'Turns: tightened': '-2.25' },
    choose: { Side: 'left' },
    told: /^left nut slackened by 2.25 turns/i,
    correct: { field: 'Turns: tightened', to: '3', told: /^left nut tightened by 3 turns/i },
  },
  {
    kind: 'Spring replaced',
    fill: { 'Spring length as set': '255', 'Free length of the new spring': '450' },
    choose: { Side: 'right' },
    told: /^right spring replaced, set to 255.0/i,
    correct: { field: 'Spring length as set', to: '260', told: /^right spring replaced, set to 260.0/i },
  },
  {
    kind: 'Position sensor set anew',
    fill: { 'What it reads now': '41.5' },
    choose: { Side: 'left' },
    told: /^left position sensor set anew, reads 41.5/i,
    correct: { field: 'What it reads now', to: '42', told: /reads 42.0/ },
  },
  { kind: 'Chain lubricated', fill: {}, told: /^chain lubricated/i },
  {
    kind: 'Inspected',
    fill: { Noise: 'at the drive', Filings: 'bright', Note: 'guide is worn' },
    choose: { Rock: 'too much', Restraint: 'run out, as they should be' },
    told: /^inspected, chain rocks too much, restraint nuts out, noise: at the drive, filings: bright, guide is worn/i,
    correct: { field: 'Noise', to: '', told: /restraint nuts out, filings: bright/ },
  },
  {
    kind: 'Note',
    fill: { Note: '=SUM(A1), "bent", 2 \u2033' },
    told: /^=SUM\(A1\), "bent"/,
    correct: { field: 'Note', to: '+47 call the stores', told: /^\+47 call the stores/ },
  },
  {
    kind: 'Chain replaced',
    fill: { 'Pitches of the new chain': '3198' },
    told: /^chain replaced by one of 3198 pitches/i,
    correct: { field: 'Pitches of the new chain', to: '3200', told: /3200 pitches/ },
  },
  { kind: 'Service ended', fill: {}, told: /^service ended/i },
];

let program: ProgramWithSensors;
let browser: Browser;
beforeAll(async () => {
  program = await startProgramWithSensors(SITE);
  browser = await launchChromium();
});
afterAll(async () => {
  await browser.close();
  await program.stop();
});

async function writeDown(page: Page, { kind, fill, choose = {} }: Work): Promise<void> {
  const form = page.getByRole('form', { name: 'Write down what was done' });
  await form.getByRole('combobox', { name: 'What', exact: true }).selectOption(kind);
  for (const [label, words] of Object.entries(choose)) await form.getByLabel(label).selectOption(words);
  for (const [label, words] of Object.entries(fill)) await form.getByRole('textbox', { name: label }).fill(words);
  await form.getByRole('button', { name: 'Write it down' }).click();
  await form.getByText(/^Written down: /).waitFor();
}

/** The entry of the log that reads so, on the page as it is. */
const entry = (page: Page, told: RegExp) =>
  log(page)
    .getByRole('listitem', { name: unanchored(told) })
    .first();
/** The service log of the take-up, or the entries of the whole site. */
const log = (page: Page) => page.getByRole('region', { name: /^(Service log|Entries)$/ });
const corrections = (page: Page) => log(page).getByRole('listitem').filter({ hasText: '(corrected by ' });

/** In the log of the site the conveyor stands before what was done. */
function unanchored({ source, flags }: RegExp): RegExp {
  return new RegExp(source.replace(/^\^/, ''), flags);
}

describe.each([
  ['on a phone, at the take-up', 'takeup/enamel/tu1', { width: 360, height: 740 }],
  ['at a desk, in the log of the site', 'work/log', { width: 1920, height: 1080 }],
])('work of every kind, %s', (_, hash, size) => {
  it('is written down by form, taken by the agent, and corrected with what it said before kept', async () => {
    const page = await pageOf(program, browser, size);
    await page.goto(`${program.url}/#/${hash}`);
    if (hash === 'work/log') await page.getByRole('combobox', { name: /^Take-up/ }).selectOption({ index: 1 });
    for (const work of WORK) {
      await writeDown(page, work);
      await entry(page, work.told).waitFor();
      if (work.correct === undefined) continue;
      const { field, to, told } = work.correct;
      const before = await corrections(page).count();
      await entry(page, work.told)
        .getByRole('button', { name: /^Correct: / })
        .click();
      const form = page.getByRole('form', { name: /^Correct: / });
      await form.getByRole('textbox', { name: field }).fill(to);
      await form.getByRole('button', { name: 'Write the correction down' }).click();
      await expect.poll(() => corrections(page).count()).toBe(before + 1);
      const corrected = entry(page, told);
      await corrected.getByText('As it was written').click();
      const versions = corrected.getByRole('list', { name: 'As it was written' });
      expect(await versions.innerText(), work.kind).toMatch(unanchored(work.told));
      expect(await versions.innerText(), work.kind).toMatch(unanchored(told));
    }
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(size.width);
    await page.close();
  });
});

describe('the log taken away as a file', () => {
  async function taken(form: 'CSV' | 'JSON lines'): Promise<string> {
    const page = await pageOf(program, browser, { width: 1280, height: 800 });
    await page.goto(`${program.url}/#/work/log`);
    const [download] = await Promise.all([page.waitForEvent('download'), log(page).getByRole('link', { name: form }).click()]);
    const path = join(program.folder, download.suggestedFilename());
    await download.saveAs(path);
    await page.close();
    return path;
  }

  it('is JSON lines that a replay takes, every kind and every correction', async () => {
    const path = await taken('JSON lines');
    const kinds = readFileSync(path, 'utf8')
      .trim()
      .split('\n')
      .map((line) => (JSON.parse(line) as { kind: string }).kind);
    expect(new Set(kinds).size).toBe(12);
    expect(kinds.filter((kind) => kind === 'correction')).toHaveLength(16);
    const at = (minutes: number): string => new Date(Date.now() + minutes * 60_000).toISOString();
    const rows = [-90, -1, 1].flatMap((minutes) => ['left', 'right'].map((side) => `${at(minutes)},enamel/tu1/${side}/position,41`));
    writeFileSync(join(program.folder, 'recording.csv'), ['time,signal,value', ...rows, ''].join('\n'));
    const [site, recording, out] = ['site.yaml', 'recording.csv', 'out'].map((name) => join(program.folder, name)) as [
      string,
      string,
      string,
    ];
    execFileSync(process.execPath, [MAIN, 'replay', site, recording, '--service', path, '--out', out]);
    const summary = JSON.parse(readFileSync(join(out, 'summary.json'), 'utf8')) as { takeups: { chain: { pitches: number } }[] };
    expect(summary.takeups[0]?.chain.pitches).toBe(3200);
  });

  it('is a table that a spreadsheet reads as it was written, in which no text is a formula', async () => {
    const path = await taken('CSV');
    const duck = await openDuckDb();
    const read = await duck.connection.runAndReadAll(
      `SELECT * FROM read_csv(${sqlText(path)}, header = true, all_varchar = true, strict_mode = true)`,
    );
    const rows = read.getRowObjectsJS() as readonly Readonly<Record<string, string | null>>[];
    duck.close();
    expect(rows).toHaveLength(22);
    const notes = rows.filter(({ kind }) => kind === 'note').map(({ text }) => text);
    expect(notes).toEqual(["'+47 call the stores", "'+47 call the stores"]);
    expect(rows.find(({ kind }) => kind === 'nut-turned')).toMatchObject({ turns: '3', side: 'left', state: 'corrected', by: 'engineer' });
    expect(JSON.parse(rows.find(({ kind }) => kind === 'spring-replaced')?.['spring'] ?? '')).toMatchObject({ free_mm: 450 });
    for (const row of rows) for (const cell of Object.values(row)) expect(cell ?? '').not.toMatch(/^[=@\t\r]|^[+-](?![\d.]+$)/);
  });
});
