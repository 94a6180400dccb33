import { Aedes } from 'aedes';
import type { Duplex } from 'node:stream';
import type { IncomingMessage } from 'node:http';
import { performance } from 'node:perf_hooks';
import { ANY_SITE } from '../agent/contract/topics.js';
import { type Lifecycle, createLifecycle } from '../agent/process/lifecycle.js';
import { createAccess } from './access-rules.js';
import { Backlogs } from './backlog.js';
import {
  type BrokerLimits,
  type BrokerOptions,
  type BrokerPorts,
  DEFAULT_HOST,
  DEFAULT_LIMITS,
  DEFAULT_TCP_PORT,
  DEFAULT_WS_PORT,
} from './broker-options.js';
import { openCredentials } from './credentials.js';
import { guardConnection } from './guard-connection.js';
import { createHooks, maySubscribe } from './hooks.js';
import { listenTcp, listenWebSocket } from './listeners.js';
import { createOpenConnections } from './open-connections.js';
import { openDisk } from './open-disk.js';
import { createQuietLog } from './quiet-log.js';
import { SessionStore } from './session-store.js';
import { createSignIn } from './sign-in.js';

/** Room for topic and header beside the payload. */
const BESIDE_PAYLOAD_BYTES = 4 * 1024;
/** Ten thousand signals at a hundred letters each. */
const FILTER_LIST_BYTES = 1024 * 1024;
/** 23 letters, and the role that is put in front. */
const LONGEST_ID_OF_MQTT_3_1 = 23 + 'sensor/'.length;
/** Wills of clients that a killed broker left behind are published after four of these. */
const HEARTBEAT_MS = 15_000;

/**
 * The embedded MQTT 3.1.1 broker: sessions, queues and retained messages on disk, sign-in by role, access rules, limits.
 *
 * @returns `start` fails with a TakelineFault where a port is taken, or credentials or sessions on disk are damaged
 */
export function createBroker(options: BrokerOptions): Lifecycle<BrokerPorts> {
  const { dataDir, host = DEFAULT_HOST, tcpPort = DEFAULT_TCP_PORT, wsPort = DEFAULT_WS_PORT } = options;
  const limits: BrokerLimits = { ...DEFAULT_LIMITS, ...options.limits };
  const log = createQuietLog(options.log ?? (() => undefined), () => performance.now());
  const access = createAccess(options.scope ?? { siteId: ANY_SITE, signalTopics: [] });

  return createLifecycle(async (onStop) => {
    const credentials = options.credentials ?? (await openCredentials(dataDir));
    const { disk, startName } = await openDisk(dataDir, (error) => log(`sessions on disk: ${messageOf(error)}`));
    onStop('sessions on disk', () => disk.close());
    const connections = createOpenConnections(limits.maxClients, log);
    onStop('open connections', () => connections.dropAll());

    const signedIn = new Set<string>();
    const backlogs = new Backlogs();
    const signIn = createSignIn({
      credentials,
      access,
      isFull: (clientId) => signedIn.size >= limits.maxClients && !signedIn.has(clientId),
      onReturn: (client) => {
        backlogs.begin(client);
        client.conn.once('close', () => backlogs.end(client));
      },
    });
    const persistence = new SessionStore(disk, {
      maxQueued: limits.maxQueuedMessages,
      backlogs,
      maySubscribe: (client, filter) => maySubscribe({ access, signIn }, client, filter),
      onQueueFull: (clientId) => log(`${limits.maxQueuedMessages} messages wait for ${clientId}: those that follow are not kept for it`),
    });
    const aedes = await Aedes.createBroker({
      ...createHooks({ access, signIn, backlogs, log, brokerId: startName, ...limits }),
      id: startName,
      persistence,
      connectTimeout: limits.connectTimeoutMs,
      maxClientsIdLength: LONGEST_ID_OF_MQTT_3_1,
      drainTimeout: limits.drainTimeoutMs,
      heartbeatInterval: HEARTBEAT_MS,
    });
    onStop('clients', () => new Promise<void>((resolve) => aedes.close(resolve)));
    aedes.on('client', (client) => signedIn.add(client.id));
    aedes.on('clientDisconnect', (client) => signedIn.delete(client.id));
    reportFailures(aedes, log);

    const longest = { packet: limits.maxPayloadBytes + BESIDE_PAYLOAD_BYTES, filterList: FILTER_LIST_BYTES };
    const onConnection = (connection: Duplex, request?: IncomingMessage): void => {
      guardConnection(connection, longest, () => log('a client asked for a version of MQTT other than 3.1.1; not let in'));
      aedes.handle(connection, request);
    };
    const tcp = await listenTcp({ host, port: tcpPort, connections, onConnection });
    onStop('TCP listener', tcp.stopAccepting);
    if (wsPort === 'off') return { tcpPort: tcp.port };
    const webSocket = await listenWebSocket(
      { host, port: wsPort, connections, onConnection },
      { connectTimeoutMs: limits.connectTimeoutMs, maxMessageBytes: longest.filterList + longest.packet },
    );
    onStop('WebSocket listener', webSocket.stopAccepting);
    return { tcpPort: tcp.port, wsPort: webSocket.port };
  });
}

function reportFailures(aedes: Aedes, log: (line: string) => void): void {
  aedes.on('clientError', (client, error) => {
    // A client that has hung up while something was on its way to it.
    if (error.message !== 'connection closed') log(printable(`${client.id} was cut off: ${error.message}`));
  });
  aedes.on('connectionError', (_client, error) => log(printable(`a connection was cut off: ${error.message}`)));
  (aedes as NodeJS.EventEmitter).on('error', (error: unknown) => log(`the broker failed: ${messageOf(error)}`));
}

/** Client ids and topics come from outside; a line break in one shall not forge a line of the log. */
function printable(line: string): string {
  return line.replace(/\p{Cc}/gu, '?');
}

function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
