// The plant of the load benchmark: 500 take-ups with two sensors each, and the program's three parts in processes of their own.
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import Database from 'better-sqlite3';

const MAIN = fileURLToPath(new URL('../../dist/takeline/main.js', import.meta.url));
/** A journal that has not grown for so long has all that was published. */
const STILL_MS = 700;
const PUBLISHER = fileURLToPath(new URL('load-publisher.mjs', import.meta.url));
const side = '{ set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 250 } }';

/** A site of so many conveyors with four take-ups each. */
export function siteOf(conveyors) {
  const takeup = (i) => `      - id: tu${i}
        location: along the line
        wrap_deg: 180
        stroke_mm: 230
        spring: { free_mm: 420, rate_n_per_mm: 18, solid_mm: 150, clearance_mm: 12, per_side: 1 }
        reference: { at: 2026-01-05T06:00:00Z, position_mm: 40 }
        sides: { left: ${side}, right: ${side} }
`;
  return `site: { id: load, name: Load, timezone: Europe/Oslo, units: metric }
conveyors:
${Array.from(
  { length: conveyors },
  (_, i) => `  - id: line${i}
    chain: { pitch_mm: 76.2, pitches: 3200, repeat_pitches: 2, wear_limit_pct: 2 }
    takeups:
${[1, 2, 3, 4].map(takeup).join('')}`,
).join('')}`;
}

/** Broker, agent and web, each a process; their folder goes with `stop`. */
export class LoadPlant {
  parts = new Map();

  static async start(conveyors) {
    const plant = await LoadPlant.create(conveyors);
    await plant.startAgent();
    return plant;
  }

  /** The broker alone: the agent is started by whoever asks. */
  static async create(conveyors) {
    const plant = new LoadPlant();
    plant.folder = await mkdtemp(join(tmpdir(), 'takeline-load-'));
    plant.site = join(plant.folder, 'site.yaml');
    await writeFile(plant.site, siteOf(conveyors));
    plant.port = await freePort();
    plant.url = `mqtt://127.0.0.1:${plant.port}`;
    await plant.part('broker', ['--port', String(plant.port), '--ws-port', String(await freePort())], 'passwords');
    return plant;
  }

  startAgent() {
    return this.part('agent', ['--broker', this.url], 'stop with Ctrl-C');
  }

  async startWeb() {
    const web = await this.part('web', ['--broker', this.url, '--port', '0'], 'Stop with Ctrl-C');
    const [, url] = /Pages of .*?: (\S+)/.exec(web.said) ?? [];
    const [, name, password] = /Sign in: (\S+), password (\S+)/.exec(web.said) ?? [];
    return { url, name, password };
  }

  async part(name, args, ready) {
    const child = spawn(process.execPath, [MAIN, name, '--site', this.site, '--data', this.folder, ...args]);
    const part = { child, said: '', begun: performance.now() };
    child.stderr.on('data', (text) => process.env.LOAD_VERBOSE && process.stderr.write(`${name}: ${text}`));
    this.parts.set(name, part);
    await new Promise((resolve, reject) => {
      child.stdout.on('data', (text) => {
        part.said += text;
        if (part.said.includes(ready)) resolve();
      });
      child.once('exit', (code) => reject(new Error(`${name} ended with ${code}`)));
    });
    part.readyMs = performance.now() - part.begun;
    return part;
  }

  async kill(name, signal = 'SIGKILL') {
    const { child } = this.parts.get(name);
    const gone = once(child, 'exit');
    child.kill(signal);
    await gone;
  }

  /** Waits until the journal has not grown for a while. @returns how far it has come, and when it last grew */
  async drained() {
    const db = new Database(join(this.folder, 'takeline.sqlite'), { readonly: true });
    const last = db.prepare('SELECT max(seq) FROM reading').pluck();
    let [seq, grownMs] = [last.get() ?? 0, Date.now()];
    while (Date.now() - grownMs < STILL_MS) {
      await pause(20);
      const now = last.get() ?? 0;
      if (now > seq) [seq, grownMs] = [now, Date.now()];
    }
    db.close();
    return { seq, grownMs };
  }

  /**
   * CPU seconds that each part has used, and its memory in MB: all that is resident; the same with what processes share counted by share; and
   * what is its alone, which is what the machine would have back without it.
   */
  async used() {
    const of = {};
    for (const [name, { child }] of this.parts) {
      if (child.exitCode !== null || child.signalCode !== null) continue;
      const fields = (await readFile(`/proc/${child.pid}/stat`, 'utf8')).split(') ')[1].split(' ');
      const maps = await readFile(`/proc/${child.pid}/smaps_rollup`, 'utf8');
      const mb = (...kinds) =>
        kinds.reduce((sum, kind) => sum + Number(new RegExp(`^${kind}:\\s+(\\d+)`, 'm').exec(maps)?.[1] ?? 0), 0) / 1024;
      of[name] = {
        cpuS: (Number(fields[11]) + Number(fields[12])) / 100,
        ...{ rssMb: mb('Rss'), pssMb: mb('Pss'), privateMb: mb('Private_Clean', 'Private_Dirty') },
      };
    }
    return of;
  }

  /** Publishes for so long, one sensor in so many at QoS 1, none at 0. @returns what the publisher counted */
  async publish({ acknowledgedEvery = 0, rate, seconds, ackFile = '' }) {
    const password = (await readFile(join(this.folder, 'secrets/sensor.txt'), 'utf8')).trim();
    const child = spawn(process.execPath, [
      PUBLISHER,
      this.url,
      password,
      this.site,
      String(acknowledgedEvery),
      String(rate),
      String(seconds),
      ackFile,
    ]);
    child.stderr.on('data', (text) => process.stderr.write(text));
    let said = '';
    child.stdout.on('data', (text) => (said += text));
    const [code] = await once(child, 'close');
    if (code !== 0) throw new Error(`the publisher ended with ${code}`);
    return JSON.parse(said);
  }

  async stop() {
    for (const [name, { child }] of [...this.parts].reverse()) {
      if (child.exitCode === null && child.signalCode === null) await this.kill(name, 'SIGTERM');
    }
    await rm(this.folder, { recursive: true, force: true });
  }
}

async function freePort() {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address();
  server.close();
  return port;
}
