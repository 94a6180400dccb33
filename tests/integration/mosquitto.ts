import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { type AddressInfo, connect, createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { vi } from 'vitest';
import { ensureMosquitto } from '../../.scripts/mosquitto.mjs';

/** A Mosquitto of the test's own. */
export interface Mosquitto {
  readonly port: number;
  /** `mqtt://…` on the loopback. */
  readonly url: string;
  stop(): Promise<void>;
}

/**
 * Starts a Mosquitto that listens on the loopback alone and lets everybody in.
 *
 * @param settings - further lines of its configuration file
 */
export async function startMosquitto(settings: readonly string[] = []): Promise<Mosquitto> {
  const found = await ensureMosquitto();
  if ('fault' in found) throw new Error(found.fault);
  const port = await freePort();
  const folder = mkdtempSync(join(tmpdir(), 'takeline-mosquitto-'));
  const file = join(folder, 'mosquitto.conf');
  writeFileSync(file, [`listener ${port} 127.0.0.1`, 'allow_anonymous true', 'persistence false', ...settings, ''].join('\n'));
  const child = spawn(found.path, ['-c', file], { stdio: ['ignore', 'ignore', 'pipe'] });
  let words = '';
  child.stderr.setEncoding('utf8').on('data', (text: string) => (words += text));
  const stop = async (): Promise<void> => {
    await ended(child);
    rmSync(folder, { recursive: true });
  };
  try {
    await vi.waitFor(() => answers(port), { timeout: 10_000, interval: 20 });
  } catch (cause) {
    await stop();
    throw new Error(`Mosquitto did not start: ${words}`, { cause });
  }
  return { port, url: `mqtt://127.0.0.1:${port}`, stop };
}

async function ended(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  child.kill('SIGTERM');
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
