import { once } from 'node:events';
import { mkdtempSync, rmSync, writeFileSync, mkdirSync } from 'node:fs';
import { createServer, type AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { brotliCompressSync, gzipSync } from 'node:zlib';
import { afterEach, beforeEach, describe, expect, it, onTestFinished } from 'vitest';
import { ALARM_DEFINITIONS } from '../../agent/flow/alarm/definitions.js';
import { ALARM_TEXTS } from '../../agent/flow/alarm/texts.js';
import { TakelineFault } from '../../agent/process/fault.js';
import { createWebServer, type WebServer, type WebServerOptions } from '../../web/server/web-server.js';
import { siteWith } from '../web/a-site.js';
import { engineer } from '../web/a-visitor.js';

let dataDir: string;
beforeEach(() => {
  dataDir = mkdtempSync(join(tmpdir(), 'takeline-web-'));
});
afterEach(() => rmSync(dataDir, { recursive: true, force: true }));

/** A web server whose broker is not there and whose agent has not made a store yet. */
function server(different: Partial<WebServerOptions> = {}): WebServer {
  const web = createWebServer({
    ...{ site: siteWith(1), dataDir, port: 0, broker: { url: 'mqtt://127.0.0.1:9' } },
    alarmList: { definitions: ALARM_DEFINITIONS, texts: ALARM_TEXTS },
    openHistory: () => Promise.reject(new TakelineFault('store-missing', 'There is no store yet: start the agent.')),
    readingSeries: () => Promise.resolve('too-many'),
    exportReadings: () => Promise.reject(new TakelineFault('store-missing', 'There is no store yet: start the agent.')),
    ...different,
  });
  onTestFinished(() => web.stop());
  return web;
}

describe('a web server', () => {
  it('says which port is taken, and what to do', async () => {
    const other = createServer().listen(0, '127.0.0.1');
    onTestFinished(() => void other.close());
    await once(other, 'listening');
    const { port } = other.address() as AddressInfo;
    await expect(server({ port }).start()).rejects.toMatchObject({
      code: 'port-in-use',
      message: `Port ${port} of 127.0.0.1 is in use: end what uses it, or choose another with --port.`,
    });
  });

  it('says that an address is not one of this machine', async () => {
    await expect(server({ host: '192.0.2.1' }).start()).rejects.toMatchObject({ code: 'host-unknown' });
  });

  it('serves without a broker, and says so', async () => {
    const said: string[] = [];
    const { url } = await server({ log: (line) => said.push(line) }).start();
    await expect.poll(() => said).toEqual([expect.stringContaining('cannot be reached')]);
    expect(await (await fetch(`${url}/healthz`)).json()).toEqual({ status: 'ok', broker: 'away', agent: 'awaited' });
  });

  it('serves the present without a past, and opens the past when it is there', async () => {
    let there = false;
    const events = { events: [], total: 0 };
    const openHistory = () =>
      there
        ? Promise.resolve({ alarmEvents: () => Promise.resolve(events), stop: () => Promise.resolve() } as never)
        : Promise.reject(new TakelineFault('store-missing', 'There is no store yet: start the agent.'));
    const somebody = await engineer(await server({ openHistory }).start());
    const before = await somebody.ask('GET', '/api/alarms');
    expect([before.status, await before.json()]).toMatchObject([503, { detail: 'There is no store yet: start the agent.' }]);
    there = true;
    expect(await (await somebody.ask('GET', '/api/alarms')).json()).toEqual({ standing: [], recent: [] });
  });

  it('serves the built screens: the page anew each time, what bears a digest for good', async () => {
    const clientDir = join(dataDir, 'client');
    mkdirSync(join(clientDir, 'assets'), { recursive: true });
    writeFileSync(join(clientDir, 'index.html'), '<title>Takeline</title>');
    writeFileSync(join(clientDir, 'assets', 'index-abc.js'), 'export {};');
    const { url } = await server({ clientDir }).start();
    const [page, script] = await Promise.all([fetch(`${url}/`), fetch(`${url}/assets/index-abc.js`)]);
    expect([await page.text(), page.headers.get('cache-control')]).toEqual(['<title>Takeline</title>', 'no-cache']);
    expect(script.headers.get('cache-control')).toContain('immutable');
  });

  it('hands out packed copies to those who take them, under the same name, type and policy', async () => {
    const clientDir = join(dataDir, 'packed');
    mkdirSync(join(clientDir, 'assets'), { recursive: true });
    const text = 'export const words = "the carriage stands";'.repeat(50);
    writeFileSync(join(clientDir, 'index.html'), '<title>Takeline</title>');
    writeFileSync(join(clientDir, 'assets', 'index-abc.js'), text);
    writeFileSync(join(clientDir, 'assets', 'index-abc.js.br'), brotliCompressSync(text));
    writeFileSync(join(clientDir, 'assets', 'index-abc.js.gz'), gzipSync(text));
    const { url } = await server({ clientDir }).start();
    for (const [accepted, packed] of [
      ['gzip, deflate, br', 'br'],
      ['gzip', 'gzip'],
      ['identity', null],
    ] as const) {
      const answer = await fetch(`${url}/assets/index-abc.js`, { headers: { 'accept-encoding': accepted } });
      expect([answer.headers.get('content-encoding'), answer.headers.get('vary'), await answer.text()]).toEqual([
        packed,
        'accept-encoding',
        text,
      ]);
      expect(answer.headers.get('content-type')).toContain('javascript');
      expect(answer.headers.get('cache-control')).toContain('immutable');
      expect(answer.headers.get('content-security-policy')).toContain("script-src 'self'");
    }
  });

  it('says what to do where the screens have not been built', async () => {
    const { url } = await server({ clientDir: join(dataDir, 'nowhere') }).start();
    const response = await fetch(`${url}/`);
    expect([response.status, await response.json()]).toMatchObject([503, { detail: 'Run npm run build, then start again.' }]);
  });

  it('stops twice without harm, and leaves its port', async () => {
    const web = server();
    const { port } = await web.start();
    await web.stop();
    await web.stop();
    expect((await server({ port }).start()).port).toBe(port);
  });
});
