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

/** The whole program as it is built, in a process of its own, and where it says to look and how to sign in. */
export interface Program {
  readonly process: ChildProcess;
  readonly url: string;
  /** Of the broker. */
  readonly port: string;
  /** Of the engineer, as long as nobody has changed it. */
  readonly password: string;
  /** Holds `site.yaml` and the data. */
  readonly folder: string;
  /** What it has complained of so far. */
  readonly complained: () => string;
}

/** A folder with a site file, in which a program can be started; whoever makes it removes it. */
export function folderWith(siteText: string): string {
  const folder = mkdtempSync(join(tmpdir(), 'takeline-program-'));
  writeFileSync(join(folder, 'site.yaml'), siteText);
  return folder;
}

/**
 * Starts it on a folder with a `site.yaml`, and waits until it says that it watches.
 *
 * @param webPort - a free one unless a test starts it again where browsers look for it
 */
export async function startProgram(folder: string, webPort = '0'): Promise<Program> {
  const args = ['up', '--site', join(folder, 'site.yaml'), '--data', join(folder, 'data'), '--port', webPort];
  const child = spawn(process.execPath, [MAIN, ...args, '--mqtt-port', '0', '--ws-port', '0'], { stdio: ['ignore', 'pipe', 'pipe'] });
  let complained = '';
  child.stderr.setEncoding('utf8').on('data', (text: string) => (complained += text));
  let said = '';
  child.stdout.setEncoding('utf8');
  for await (const text of child.stdout as AsyncIterable<string>) {
    said += text;
    if (said.includes('Stop with Ctrl-C')) break;
  }
  const [, url = ''] = /Pages: +(\S+)/.exec(said) ?? [];
  const [, port = ''] = /Broker: +mqtt:\/\/[^:]+:(\d+)/.exec(said) ?? [];
  const [, password = ''] = /password (\S+)/.exec(said) ?? [];
  if (url === '') throw new Error(`the program did not start: ${said}${complained}`);
  return { process: child, url, port, password, folder, complained: () => complained };
}

/** Ends it as a power cut does. */
export async function killProgram({ process: child }: Program): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  child.kill('SIGKILL');
  await once(child, 'exit');
}

/** Signed in as a sensor of the program's broker. */
export function sensorOf({ folder, port }: Program): Promise<MqttClient> {
  const password = readFileSync(join(folder, 'data/secrets/sensor.txt'), 'utf8').trim();
  return connectAsync(`mqtt://127.0.0.1:${port}`, { username: 'sensor', password });
}

/** A program on a folder of its own, with something that speaks as its sensors; all of it gone with `stop`. */
export interface ProgramWithSensors extends Program {
  readonly sensors: MqttClient;
  stop(): Promise<void>;
}

export async function startProgramWithSensors(siteText: string): Promise<ProgramWithSensors> {
  const program = await startProgram(folderWith(siteText));
  const sensors = await sensorOf(program);
  return {
    ...program,
    sensors,
    stop: async () => {
      await sensors.endAsync(true);
      await killProgram(program);
      rmSync(program.folder, { recursive: true, force: true });
    },
  };
}

/** A page of the program, signed in as the engineer of its first start. */
export async function pageOf({ url, password }: Program, browser: Browser, size?: { width: number; height: number }): Promise<Page> {
  const page = await openPage(browser, url, size);
  await page.getByLabel('Name').fill('engineer');
  await page.getByLabel('Password').fill(password);
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.getByRole('navigation', { name: 'Screens' }).waitFor();
  return page;
}
