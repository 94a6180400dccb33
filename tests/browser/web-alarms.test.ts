import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { StandingAlarm } from '../../agent/contract/messages.js';
import type { AlarmState } from '../../agent/flow/alarm-key.js';
import type { Plant } from '../web/a-plant.js';
import { siteWith } from '../web/a-site.js';
import { alarmOf, nowOf } from '../web/a-takeup.js';
import { aMorning, eventsHistory } from '../web/an-alarm-history.js';
import { seriousFaults } from './accessibility.js';
import { launchChromium } from './chromium.js';
import { complaintsOf, signedInPage, startPlantWithScreens } from './web-screens.js';

const SINCE = '2026-03-02T08:41:00Z';

let browser: Browser;
let plant: Plant;
let page: Page;
let complaints: string[];
let alarms: StandingAlarm[];
beforeAll(async () => {
  browser = await launchChromium();
});
afterAll(() => browser.close());
beforeEach(async () => {
  alarms = [alarmOf({ since: SINCE }), alarmOf({ alarm: 'carriage-skew', priority: 'low', since: SINCE, value: 17.2, limit: 15 })];
  plant = await startPlantWithScreens({ history: eventsHistory(aMorning) });
  plant.agent.answer = (verb, message) => {
    become(String(message['alarm']), verb, message);
    void tell();
    return { ok: true, message: 'done' };
  };
  await tell();
  await plant.agent.heartbeat();
  page = await signedInPage(browser, plant.web);
  complaints = complaintsOf(page);
  await page.goto(`${plant.web.url}/#/alarms`);
  await card('Carriage skewed').waitFor();
});
afterEach(async () => {
  await page.close();
  await plant.stop();
});

/** The take-up says how its alarms stand. */
async function tell(): Promise<void> {
  await plant.agent.now(nowOf({ time: new Date().toISOString(), alarms }));
}

const STATES: Readonly<Record<string, AlarmState>> = { acknowledge: 'acknowledged', shelve: 'shelved', 'out-of-service': 'out-of-service' };

/** What an agent does with a request. */
function become(key: string, verb: string, { by, why, until }: Readonly<Record<string, unknown>>): void {
  const since = new Date().toISOString();
  const who = { by: String(by), why: String(why), since };
  alarms = alarms.map((alarm) =>
    alarm.alarm === key
      ? {
          ...alarmOf({ ...alarm, state: STATES[verb] ?? 'unacknowledged' }),
          ...(verb === 'shelve' ? { shelved: { ...who, until: String(until) }, active: true } : {}),
          ...(verb === 'out-of-service' ? { outOfService: who, active: true } : {}),
        }
      : alarm,
  );
}

const section = (name: string) => page.getByRole('region', { name, exact: true });
/** The alarm of that name, wherever it stands. */
const card = (name: string) => page.getByRole('listitem', { name: new RegExp(`^${name}, `) });
const standing = () => section('Standing').getByRole('listitem', { name: /./ });

/** Where the keyboard is. */
const stoodOn = () => page.evaluate(() => `${document.activeElement?.tagName}: ${document.activeElement?.textContent.trim()}`);
/** What those who listen are told in a pause. */
const heard = () => page.locator('[aria-live=polite]').innerText();

describe('a standing alarm', () => {
  it('says what is seen, what follows, what to do and how soon', async () => {
    const words = await card('Travel nearly used up').innerText();
    for (const part of [
      '8.2',
      'since 2026-03-02 09:41',
      'almost at its outer stop',
      'Take out chain at the next stop.',
      'Time to respond: 2 h.',
    ])
      expect(words).toContain(part);
  });

  it('is acknowledged with all others that are shown, and no more', async () => {
    await page.getByRole('searchbox').fill('skew');
    await expect.poll(() => standing().count()).toBe(1);
    expect(await page.getByRole('button', { name: /^Acknowledge the/ }).count()).toBe(0);
    await page.getByRole('searchbox').fill('');
    await page.getByRole('button', { name: 'Acknowledge the 2 shown' }).click();
    for (const name of ['Travel nearly used up', 'Carriage skewed']) await card(name).getByText('acknowledged', { exact: true }).waitFor();
    expect(plant.agent.asked.map(({ verb, message }) => [verb, message['alarm']])).toEqual([
      ['acknowledge', 'stroke-end'],
      ['acknowledge', 'carriage-skew'],
    ]);
  });

  it('is acknowledged by keyboard: one stands on its heading then, and hears once what was done', async () => {
    const button = page.getByRole('button', { name: /^Acknowledge Travel nearly used up/ });
    await button.focus();
    await page.keyboard.press('Enter');
    await card('Travel nearly used up').getByText('acknowledged', { exact: true }).waitFor();
    await expect.poll(stoodOn).toMatch(/^H3: Travel nearly used up/);
    await expect.poll(heard).toBe('Acknowledged: Travel nearly used up, Enamel furnace line, tu1.');
  });

  it('that is over and goes by being acknowledged leaves one standing on the next', async () => {
    alarms = alarms.map((alarm) => ({ ...alarm, state: 'returned-unacknowledged' }));
    await tell();
    plant.agent.answer = (_verb, { alarm: key }) => {
      alarms = alarms.filter(({ alarm }) => alarm !== key);
      void tell();
      return { ok: true, message: 'done' };
    };
    const over = section('Over, to acknowledge');
    await over.getByRole('button', { name: /^Acknowledge Travel nearly used up/ }).press('Enter');
    await expect.poll(stoodOn).toMatch(/^H3: Carriage skewed/);
    await page.keyboard.press('Tab');
    await page.keyboard.press('Tab');
    await over.getByRole('button', { name: /^Acknowledge Carriage skewed/ }).press('Enter');
    await expect.poll(() => over.count()).toBe(0);
    await expect.poll(stoodOn).toBe('H1: Alarms');
  });

  it('is shelved with the keyboard alone, for a time and a reason, counts down, and is returned', async () => {
    const open = page.getByRole('button', { name: 'Shelve Carriage skewed, Enamel furnace line, tu1' });
    await open.focus();
    await page.keyboard.press('Enter');
    const form = page.getByRole('form', { name: 'Shelve: Carriage skewed, Enamel furnace line, tu1' });
    const why = form.getByRole('textbox', { name: 'Why' });
    await expect.poll(() => why.evaluate((input) => input === document.activeElement)).toBe(true);
    await form.getByLabel('For').selectOption('2 hours');
    await why.focus();
    await page.keyboard.press('Enter');
    expect(plant.agent.asked).toEqual([]);
    await page.keyboard.type('guide is being set');
    await page.keyboard.press('Enter');
    const shelved = section('Shelved');
    await expect
      .poll(() => shelved.innerText())
      .toMatch(/By engineer: guide is being set\s+Comes back in (2 h 0|1 h 59|1 h 60|119|120) ?min/);
    expect(await page.locator('[aria-live=polite]').innerText()).toBe('Shelved: Carriage skewed, Enamel furnace line, tu1.');
    await shelved.getByRole('button', { name: /^Return it now: Carriage skewed/ }).click();
    await expect.poll(() => section('Shelved').innerText()).toContain('Nothing is shelved.');
    expect(plant.agent.asked.map(({ verb }) => verb)).toEqual(['shelve', 'unshelve']);
  });

  it('is taken out of service with a reason, and put back', async () => {
    await page.getByRole('button', { name: /^Out of service Carriage skewed/ }).click();
    const form = page.getByRole('form', { name: /^Take out of service: Carriage skewed/ });
    expect(await form.innerText()).toContain('calls for nobody until somebody puts it back');
    await form.getByRole('textbox', { name: 'Why' }).fill('sensor on order');
    await form.getByRole('button', { name: 'Take it out of service' }).click();
    await expect.poll(() => section('Out of service').innerText()).toContain('By engineer: sensor on order');
    await page.getByRole('button', { name: /^Put it back: Carriage skewed/ }).click();
    await expect.poll(() => section('Out of service').innerText()).toContain('Everything is in service.');
  });

  it('that is suppressed by design says by what', async () => {
    alarms = [...alarms, alarmOf({ alarm: 'stroke-low', state: 'suppressed-by-design', suppressedBy: 'stroke-end', active: true })];
    await tell();
    await expect
      .poll(() => section('Suppressed by design').innerText())
      .toContain('It rests while “Travel nearly used up” stands, which says more');
  });

  it('keeps what was typed and says why where the agent refuses', async () => {
    plant.agent.answer = () => ({ ok: false, message: 'it is shelved already' });
    await page.getByRole('button', { name: /^Shelve Carriage skewed/ }).click();
    const form = page.getByRole('form', { name: /^Shelve: Carriage skewed/ });
    await form.getByRole('textbox', { name: 'Why' }).fill('guide is being set');
    await form.getByRole('button', { name: 'Shelve it' }).click();
    await expect.poll(() => form.getByRole('alert').innerText()).toContain('It is shelved already.');
    expect(await form.getByRole('textbox', { name: 'Why' }).inputValue()).toBe('guide is being set');
    await page.keyboard.press('Escape');
    await expect.poll(() => form.count()).toBe(0);
    const opener = page.getByRole('button', { name: /^Shelve Carriage skewed/ });
    expect(await opener.evaluate((button) => button === document.activeElement)).toBe(true);
  });
});

describe('what a person may not do', () => {
  it('is not offered: a viewer only looks, a technician takes nothing out of service', async () => {
    const password = 'only-a-password';
    for (const [name, offered] of [
      ['viewer', []],
      ['technician', ['Acknowledge', 'Shelve …']],
    ] as const) {
      await page.evaluate(
        async (body) => {
          await fetch('/api/people', { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify(body) });
        },
        { name, role: name, password },
      );
      const theirs = await signedInPage(browser, { ...plant.web, firstPassword: { name, password } });
      await theirs.goto(`${plant.web.url}/#/alarms`);
      const alarm = theirs.getByRole('listitem', { name: /^Travel nearly used up, / });
      await alarm.waitFor();
      expect(await alarm.getByRole('button').allInnerTexts()).toEqual(offered);
      await theirs.close();
    }
  });
});

describe('every page of alarms', () => {
  it('has no serious fault of accessibility, in light and in dark, and fits a phone', async () => {
    alarms = [
      ...alarms,
      alarmOf({
        alarm: 'spring-slack',
        priority: 'medium',
        state: 'shelved',
        shelved: { by: 'ola', why: 'nuts', since: SINCE, until: SINCE },
      }),
      alarmOf({ alarm: 'signal-lost', priority: 'medium', state: 'returned-unacknowledged', value: 31, limit: 30, unit: 's' }),
    ];
    await tell();
    await section('Shelved').getByText('By ola: nuts').waitFor();
    await page.getByRole('button', { name: /^Shelve Carriage skewed/ }).click();
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme });
      await page.goto(`${plant.web.url}/#/alarms`);
      await section('Recent alarm changes').waitFor();
      expect(await seriousFaults(page)).toEqual([]);
      await page.goto(`${plant.web.url}/#/alarms/judged`);
      await section('Figures')
        .getByRole('row', { name: /^Chattering/ })
        .waitFor();
      expect(await seriousFaults(page)).toEqual([]);
    }
    await page.setViewportSize({ width: 360, height: 740 });
    for (const hash of ['#/alarms', '#/alarms/judged']) {
      await page.goto(`${plant.web.url}/${hash}`);
      await page.getByRole('main').getByRole('heading', { level: 2 }).first().waitFor();
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(360);
    }
    expect(complaints).toEqual([]);
  });
});

describe('five hundred alarms at once', () => {
  const groups = () => section('Standing').getByRole('group');

  it('are grouped by conveyor, found, and follow what changes', async () => {
    await page.close();
    await plant.stop();
    plant = await startPlantWithScreens({ site: siteWith(100) });
    const keys = ['stroke-end', 'spring-slack', 'signal-lost', 'carriage-skew', 'stroke-date'] as const;
    const flood = keys.map((alarm, nth) => alarmOf({ alarm, priority: nth === 0 ? 'high' : 'low', since: SINCE }));
    for (const { id, takeups } of plant.site.conveyors)
      for (const { id: takeup } of takeups)
        await plant.agent.now(nowOf({ conveyor: id, takeup, time: new Date().toISOString(), alarms: flood }));
    await plant.agent.heartbeat();
    page = await signedInPage(browser, plant.web, { width: 1920, height: 1080 });
    await page.goto(`${plant.web.url}/#/alarms`);
    await expect.poll(() => section('Standing').getByRole('heading').first().innerText()).toBe('Standing 500');
    await expect.poll(() => groups().count()).toBe(50);
    // The alarms of a conveyor are below its name, for whoever goes from heading to heading.
    const levels = await groups()
      .first()
      .getByRole('heading')
      .evaluateAll((all) => all.map(({ tagName }) => tagName));
    expect(levels).toEqual(['H3', ...levels.slice(1).map(() => 'H4')]);
    expect(await page.getByRole('button', { name: /^Acknowledge the 250 shown/ }).count()).toBe(1);
    await page.getByRole('button', { name: 'Show the other 5 of Paint line', exact: true }).click();
    await expect.poll(() => page.getByRole('button', { name: /^Acknowledge the 255 shown/ }).count()).toBe(1);
    await page.getByRole('searchbox').fill('paint line 44 tu2 slack');
    await expect.poll(() => standing().count()).toBe(1);
    await page.getByRole('searchbox').fill('');
    await expect.poll(() => groups().count()).toBe(50);
    await plant.agent.now(nowOf({ time: new Date().toISOString(), alarms: flood.slice(1) }));
    await expect.poll(() => section('Standing').getByRole('heading').first().innerText()).toBe('Standing 499');
  });
});
