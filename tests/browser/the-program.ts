import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { connectAsync, type MqttClient } from 'mqtt';
import type { Browser, Page } from 'playwright-core';
import { openPage } from './chromium.js';

/** Where the program is as it is built. */
export const MAIN = fileURLToPath(new URL('../../dist/takeline/main.js', import.meta.url));

/** `takeline up` as it is built, on a site of its own, with something that speaks as its sensors. */
export interface Program {
  readonly url: string;
  readonly password: string;
  readonly sensors: MqttClient;
  /** Holds `site.yaml` and the data; goes with `stop`. */
  readonly folder: string;
  stop(): Promise<void>;
}

export async function startProgram(siteText: string): Promise<Program> {
  const folder = mkdtempSync(join(tmpdir(), 'takeline-program-'));
  writeFileSync(join(folder, 'site.yaml'), siteText);
  const data = join(folder, 'data');
  const ports = ['--port', '0', '--mqtt-port', '0', '--ws-port', '0'];
  const child = spawn(process.execPath, [MAIN, 'up', '--site', join(folder, 'site.yaml'), '--data', data, ...ports], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const said = await saidUntil(child, 'Stop with Ctrl-C');
  const port = /Broker: +mqtt:\/\/[^:]+:(\d+)/.exec(said)?.[1] ?? '';
  const password = readFileSync(join(data, 'secrets/sensor.txt'), 'utf8').trim();
  const sensors = await connectAsync(`mqtt://127.0.0.1:${port}`, { username: 'sensor', password });
  return {
    ...{ sensors, folder, url: /Pages: +(\S+)/.exec(said)?.[1] ?? '', password: /password (\S+)/.exec(said)?.[1] ?? '' },
    stop: async () => {
      await sensors.endAsync();
      child.kill('SIGTERM');
      await once(child, 'exit');
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

async function saidUntil({ stdout }: ChildProcess, words: string): Promise<string> {
  if (stdout === null) throw new Error('the program says nothing');
  let said = '';
  for await (const text of stdout.setEncoding('utf8') as AsyncIterable<string>) {
    said += text;
    if (said.includes(words)) break;
  }
  return said;
}

/** A page of the program, signed in as the engineer of its first start. */
export async function pageOf({ url, password }: Program, browser: Browser, size: { width: number; height: number }): Promise<Page> {
  const page = await openPage(browser, url, size);
  await page.getByLabel('Name').fill('engineer');
  await page.getByLabel('Password').fill(password);
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.locator('.shell').waitFor();
  return page;
}
