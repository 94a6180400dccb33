import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { connectAsync, type MqttClient } from 'mqtt';

const MAIN = fileURLToPath(new URL('../../dist/takeline/main.js', import.meta.url));

/** The whole program as it is built, in a process of its own, and where it says to look and how to sign in. */
export interface Program {
  readonly process: ChildProcess;
  readonly url: string;
  /** Of the broker. */
  readonly port: string;
  /** Of the engineer, as long as nobody has changed it. */
  readonly password: string;
  /** What it has complained of so far. */
  readonly complained: () => string;
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
  return { process: child, url, port, password, complained: () => complained };
}

/** Ends it as a power cut does. */
export async function killProgram({ process: child }: Program): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  child.kill('SIGKILL');
  await once(child, 'exit');
}

/** Signed in as a sensor of the program's broker. */
export function sensorOf(folder: string, { port }: Program): Promise<MqttClient> {
  const password = readFileSync(join(folder, 'data/secrets/sensor.txt'), 'utf8').trim();
  return connectAsync(`mqtt://127.0.0.1:${port}`, { username: 'sensor', password });
}
