import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { type AddressInfo, connect, createServer } from 'node:net';
import { tmpdir, userInfo } from 'node:os';
import { join } from 'node:path';
import { onTestFinished, vi } from 'vitest';
import { ensureMosquitto } from '../../.scripts/mosquitto.mjs';

/** A Mosquitto of the test's own. */
export interface Mosquitto {
  readonly port: number;
  /** `mqtt://…` on the loopback. */
  readonly url: string;
  /** The command that publishes. */
  readonly publisher: string;
  stop(): Promise<void>;
  /** SIGKILL: it writes nothing more. */
  kill(): Promise<void>;
  /** Has it write its sessions to the disk now. */
  save(): void;
  /** From now on it answers nobody, its connections open; only `kill` ends it. */
  freeze(): void;
}

/**
 * Starts a Mosquitto that listens on the loopback alone and lets everybody in.
 *
 * @param settings - further lines of its configuration file
 * @param port - that of an earlier one, to take its place
 */
export async function startMosquitto(settings: readonly string[] = [], port?: number): Promise<Mosquitto> {
  const found = await ensureMosquitto();
  if ('fault' in found) throw new Error(found.fault);
  return launch(found, settings, port ?? (await freePort()));
}

/** A folder of its own for the sessions of a Mosquitto that is started again, and the lines that have it keep them there. */
export function keptSessions(): readonly string[] {
  const folder = mkdtempSync(join(tmpdir(), 'takeline-sessions-'));
  onTestFinished(() => {
    rmSync(folder, { recursive: true, force: true });
  });
  // Started by root it would become a user of its own, who may not write there.
  return [`user ${userInfo().username}`, 'persistence true', `persistence_location ${folder}/`];
}

async function launch(
  found: { readonly path: string; readonly publisher: string },
  settings: readonly string[],
  port: number,
): Promise<Mosquitto> {
  const folder = mkdtempSync(join(tmpdir(), 'takeline-mosquitto-'));
  const file = join(folder, 'mosquitto.conf');
  const usual = ['allow_anonymous true', 'persistence false'].filter((line) => !settings.some((own) => sameKey(own, line)));
  writeFileSync(file, [`listener ${port} 127.0.0.1`, ...usual, ...settings, ''].join('\n'));
  const child = spawn(found.path, ['-c', file], { stdio: ['ignore', 'ignore', 'pipe'] });
  let words = '';
  child.stderr.setEncoding('utf8').on('data', (text: string) => (words += text));
  const stop = async (): Promise<void> => {
    await ended(child, 'SIGTERM');
    rmSync(folder, { recursive: true, force: true });
  };
  try {
    await vi.waitFor(() => answers(port), { timeout: 10_000, interval: 20 });
  } catch (cause) {
    await stop();
    throw new Error(`Mosquitto did not start: ${words}`, { cause });
  }
  return {
    port,
    url: `mqtt://127.0.0.1:${port}`,
    publisher: found.publisher,
    stop,
    kill: () => ended(child, 'SIGKILL'),
    save: () => void child.kill('SIGUSR1'),
    freeze: () => void child.kill('SIGSTOP'),
  };
}

/** Whether two lines of a configuration set the same thing: Mosquitto takes none twice. */
function sameKey(one: string, other: string): boolean {
  return one.split(' ')[0] === other.split(' ')[0];
}

async function ended(child: ChildProcess, signal: NodeJS.Signals): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  child.kill(signal);
  await once(child, 'exit');
}

/** Mosquitto cannot choose a port by itself. */
async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as AddressInfo;
  server.close();
  await once(server, 'close');
  return port;
}

async function answers(port: number): Promise<void> {
  const socket = connect(port, '127.0.0.1');
  try {
    await once(socket, 'connect');
  } finally {
    socket.destroy();
  }
}
