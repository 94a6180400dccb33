import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, vi } from 'vitest';
import { agentFolder, type Ear } from './agent-plant.js';
import { TakelineProcess } from './takeline-process.js';

/** Waits as long as a machine with much else to do may take to start a process. */
export const patiently = (holds: () => void | Promise<void>): Promise<void> => vi.waitFor(holds, { timeout: 60_000, interval: 10 });

/** An agent in a process of its own, on one data folder, that is killed and started again. */
export class KilledAgent {
  readonly dataDir = agentFolder();
  private readonly args: readonly string[];
  private running: TakelineProcess | undefined;

  constructor(url: string, siteText: string) {
    const site = join(this.dataDir, 'site.yaml');
    writeFileSync(site, siteText);
    this.args = ['agent', '--site', site, '--data', this.dataDir, '--broker', url];
  }

  async start(): Promise<void> {
    this.running = new TakelineProcess(this.args);
    const { running } = this;
    await patiently(() => expect(running.out, running.err).toContain('stop with Ctrl-C'));
  }

  /** SIGKILL. @returns when the process is gone */
  async kill(): Promise<void> {
    await this.running?.kill();
  }
}

/** The carriage stands there for a moment, by the clock on the wall: a reading of both sides every 20 ms. */
export async function stand(ear: Ear, takeup: string, positionMm: number): Promise<void> {
  for (let i = 0; i < 12; i++) {
    await Promise.all(['left', 'right'].map((side) => ear.read(`${takeup}/${side}/position`, Date.now(), positionMm)));
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}
