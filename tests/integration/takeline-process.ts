import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { build } from 'vite';
import { onTestFinished } from 'vitest';
import { builtWorkers } from '../built-workers.js';
import { until } from './agent-plant.js';

/** The last folder has the name of the packed program's. */
const BUILT = join('.cache', 'takeline-command', 'takeline');

/** Makes one file of the command and all that is behind it, from the sources as they are. */
export async function buildCommand(): Promise<void> {
  mkdirSync(BUILT, { recursive: true });
  const ssr = join(import.meta.dirname, '../../agent/main.ts');
  await build({ configFile: false, logLevel: 'error', plugins: [builtWorkers], build: { ssr, outDir: BUILT, target: 'node20' } });
}

/** A `takeline` in a process of its own; killed with the test at the latest. */
export class TakelineProcess {
  out = '';
  err = '';

  private readonly child: ChildProcess;
  private readonly ended: Promise<number | null>;

  /** @param env - beside what this process has */
  constructor(args: readonly string[], env: Readonly<Record<string, string>> = {}) {
    this.child = spawn(process.execPath, [join(BUILT, 'main.js'), ...args], {
      env: { ...process.env, ...env },
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    this.child.stdout?.setEncoding('utf8').on('data', (text: string) => (this.out += text));
    this.child.stderr?.setEncoding('utf8').on('data', (text: string) => (this.err += text));
    this.ended = once(this.child, 'close').then(([code]: (number | null)[]) => code ?? null);
    onTestFinished(() => this.kill());
  }

  /** Waits until it has said so on standard output. */
  async says(words: string): Promise<void> {
    await until(() => {
      if (!this.out.includes(words)) throw new Error(`it said ${JSON.stringify(this.out)} and complained ${JSON.stringify(this.err)}`);
    });
  }

  /** Sends a signal and waits for the end. @returns the exit code; null where the signal ended it; and how long it took */
  async end(signal: NodeJS.Signals): Promise<{ readonly code: number | null; readonly tookMs: number }> {
    const begun = performance.now();
    this.child.kill(signal);
    const code = await this.ended;
    return { code, tookMs: performance.now() - begun };
  }

  /** The exit code, when it has ended by itself. */
  exit(): Promise<number | null> {
    return this.ended;
  }

  /** SIGKILL: it cannot catch that, and closes nothing. */
  async kill(): Promise<void> {
    this.child.kill('SIGKILL');
    await this.ended;
  }
}
