import { once } from 'node:events';
import { readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { connect, createServer, type AddressInfo } from 'node:net';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { TakelineFault } from '../../agent/process/fault.js';
import type { BrokerOptions } from '../../broker/broker-options.js';
import { createBroker } from '../../broker/broker.js';
import { dataFolder, rawSocket, signIn, startBroker } from './broker-client.js';

async function faultOf(options: Partial<BrokerOptions>): Promise<TakelineFault> {
  const broker = createBroker({ dataDir: dataFolder(), tcpPort: 0, wsPort: 0, ...options });
  const failure = await broker.start().then(
    () => undefined,
    (error: unknown) => error,
  );
  await broker.stop();
  if (failure instanceof TakelineFault) return failure;
  throw new Error('expected a fault', { cause: failure });
}

async function takenPort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  onTestFinished(() => void server.close());
  return (server.address() as AddressInfo).port;
}

describe('starting a broker', () => {
  it('listens on the loopback alone unless told otherwise', async () => {
    const broker = await startBroker();
    const socket = await rawSocket(broker.tcpPort);
    expect(socket.remoteAddress).toBe('127.0.0.1');
    const elsewhere = connect({ host: '127.0.0.2', port: broker.tcpPort });
    const [error] = (await once(elsewhere, 'error')) as [Error];
    expect(error.message).toMatch(/ECONNREFUSED|EADDRNOTAVAIL/);
  });

  it('can do without WebSocket', async () => {
    const broker = createBroker({ dataDir: dataFolder(), tcpPort: 0, wsPort: 'off' });
    onTestFinished(() => broker.stop());
    expect(Object.keys(await broker.start())).toEqual(['tcpPort']);
  });

  it.each(['tcpPort', 'wsPort'] as const)('says so where the %s is taken, and leaves nothing behind', async (which) => {
    const port = await takenPort();
    const dataDir = dataFolder();
    const fault = await faultOf({ dataDir, [which]: port });
    expect(fault.code).toBe('broker-port-in-use');
    expect(fault.message).toMatch(
      new RegExp(`127\\.0\\.0\\.1, port ${port}: the port is in use. Stop what uses it or choose another port`),
    );
    const broker = await startBroker({ dataDir });
    expect(broker.tcpPort).toBeGreaterThan(0);
  });

  it('says so where the machine has no such address', async () => {
    const fault = await faultOf({ host: '192.0.2.1' });
    expect([fault.code, fault.message]).toEqual(['broker-host-unknown', expect.stringContaining('this machine has no such address')]);
  });

  it('does not share its data folder with another', async () => {
    const broker = await startBroker();
    const fault = await faultOf({ dataDir: broker.dataDir });
    expect(fault.code).toBe('broker-data-in-use');
    expect(fault.message).toContain(join(broker.dataDir, 'broker'));
  });

  it.each(['{ "version": 1, "users": {', '{}', 'null', '{ "version": 1, "users": { "sensor": "scrypt$1$2" } }'])(
    'stops at damaged credentials (%s) with their path and the remedy, which helps',
    async (damage) => {
      const dataDir = dataFolder();
      await (await startBroker({ dataDir })).stop();
      const path = join(dataDir, 'credentials.json');
      const password = readFileSync(join(dataDir, 'secrets', 'web.txt'), 'utf8');
      writeFileSync(path, damage);
      const fault = await faultOf({ dataDir });
      expect([fault.code, fault.exitCode]).toEqual(['broker-credentials-damaged', 1]);
      expect(fault.message).toContain(`${path} is damaged. Delete it and start again`);
      rmSync(path);
      const broker = await startBroker({ dataDir });
      expect((await signIn(broker, 'web', { password: password.trim() })).connected).toBe(true);
    },
  );

  it('stops at a damaged session store with its path and the remedy', async () => {
    const dataDir = dataFolder();
    await (await startBroker({ dataDir })).stop();
    writeFileSync(join(dataDir, 'broker', 'CURRENT'), 'nonsense\n');
    const fault = await faultOf({ dataDir });
    expect(fault.message).toContain(join(dataDir, 'broker'));
  });

  it('says so where the data folder cannot be made', async () => {
    const file = join(dataFolder(), 'file');
    writeFileSync(file, '');
    const fault = await faultOf({ dataDir: join(file, 'data') });
    expect(fault.code).toBe('broker-data-folder');
  });

  it('keeps credentials and secrets from other users of the machine', async () => {
    const { dataDir } = await startBroker();
    const modeOf = (...path: string[]) => statSync(join(dataDir, ...path)).mode & 0o777;
    expect(['credentials.json', 'secrets/sensor.txt', 'secrets/agent.txt', 'secrets/web.txt'].map((file) => modeOf(file))).toEqual([
      0o600, 0o600, 0o600, 0o600,
    ]);
    expect([modeOf('secrets'), modeOf('broker')]).toEqual([0o700, 0o700]);
    const secret = readFileSync(join(dataDir, 'secrets/web.txt'), 'utf8').trim();
    expect(readFileSync(join(dataDir, 'credentials.json'), 'utf8')).not.toContain(secret);
  });
});

describe('stopping a broker', () => {
  it('frees the port, cuts everybody off, and is harmless twice', async () => {
    const broker = await startBroker();
    const silent = await rawSocket(broker.tcpPort);
    const client = await signIn(broker, 'web', { url: `ws://127.0.0.1:${broker.wsPort}` });
    const cutOff = [once(silent, 'close'), new Promise((resolve) => client.once('close', () => resolve(undefined)))];
    await Promise.all([broker.stop(), broker.stop()]);
    await broker.stop();
    await Promise.all(cutOff);
    const again = await startBroker({ dataDir: broker.dataDir, tcpPort: broker.tcpPort, wsPort: broker.wsPort });
    expect([again.tcpPort, again.wsPort]).toEqual([broker.tcpPort, broker.wsPort]);
  });

  it('is harmless in the middle of signing in, subscribing and publishing', async () => {
    const broker = await startBroker();
    const coming = Array.from({ length: 50 }, async (_, index) => {
      const agent = await signIn(broker, 'agent', { clientId: `edge-${String(index)}`, clean: false });
      agent.subscribe('takeline/+/in/#', { qos: 1 }, () => undefined);
      agent.publish('takeline/alder-point/out/enamel/tu1/now', 'picture', { qos: 1, retain: true }, () => undefined);
    });
    await Promise.race(coming);
    await broker.stop();
    const ends = await Promise.allSettled(coming);
    expect(ends.some(({ status }) => status === 'fulfilled')).toBe(true);
    expect(broker.said.filter((line) => line.includes('failed') || line.includes('sessions on disk'))).toEqual([]);
  });

  it('is harmless before any start', async () => {
    await expect(createBroker({ dataDir: dataFolder() }).stop()).resolves.toBeUndefined();
  });
});
