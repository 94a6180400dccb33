import { once } from 'node:events';
import { createServer as createHttpServer, type IncomingMessage } from 'node:http';
import { type AddressInfo, createServer as createTcpServer, type Server } from 'node:net';
import type { Duplex } from 'node:stream';
import { WebSocketServer, createWebSocketStream } from 'ws';
import { TakelineFault } from '../agent/process/fault.js';
import type { OpenConnections } from './open-connections.js';

/** A listener at work. */
export interface Listener {
  readonly port: number;
  /** Lets nobody in any more; those who are in stay. */
  readonly stopAccepting: () => void;
}

/** What a listener needs. */
export interface ListenerOptions {
  readonly host: string;
  /** 0 takes any that is free. */
  readonly port: number;
  readonly connections: OpenConnections;
  readonly onConnection: (connection: Duplex, request?: IncomingMessage) => void;
}

/** After so long without a word a connection is tried: a sensor that was switched off says no farewell. */
const PROBE_MS = 60_000;
/** RFC 6455 §7.4.1: data of a kind that is not accepted. */
const CLOSE_UNSUPPORTED = 1003;

/** Listens for MQTT over TCP. */
export function listenTcp({ host, port, connections, onConnection }: ListenerOptions): Promise<Listener> {
  const server = createTcpServer({ noDelay: true, keepAlive: true, keepAliveInitialDelay: PROBE_MS }, (socket) => {
    if (connections.admit(socket)) onConnection(socket);
  });
  return listen(server, host, port, 'MQTT');
}

/**
 * Listens for MQTT over WebSocket (MQTT 3.1.1 §6), under any path.
 *
 * @param connectTimeoutMs - how long the HTTP request that opens a WebSocket may take
 * @param maxMessageBytes - longest WebSocket message
 */
export async function listenWebSocket(
  { host, port, connections, onConnection }: ListenerOptions,
  { connectTimeoutMs, maxMessageBytes }: { readonly connectTimeoutMs: number; readonly maxMessageBytes: number },
): Promise<Listener> {
  const server = createHttpServer(
    { noDelay: true, keepAlive: true, keepAliveInitialDelay: PROBE_MS, requestTimeout: connectTimeoutMs, headersTimeout: connectTimeoutMs },
    (_request, response) => response.writeHead(426, { connection: 'close' }).end('This port speaks MQTT over WebSocket.\n'),
  );
  server.on('connection', (socket) => connections.admit(socket));
  const webSockets = new WebSocketServer({
    server,
    maxPayload: maxMessageBytes,
    perMessageDeflate: false,
    // [MQTT-6.0.0-3]: the client offers "mqtt"; "mqttv3.1" is what clients of MQTT 3.1 offer.
    handleProtocols: (offered) => ['mqtt', 'mqttv3.1'].find((name) => offered.has(name)) ?? false,
  });
  // The listener's own failures are reported through the HTTP server.
  webSockets.on('error', () => undefined);
  webSockets.on('connection', (webSocket, request) => {
    // [MQTT-6.0.0-1]: only binary frames.
    webSocket.on('message', (_data, isBinary) => {
      if (!isBinary) webSocket.close(CLOSE_UNSUPPORTED);
    });
    onConnection(createWebSocketStream(webSocket), request);
  });
  return listen(server, host, port, 'MQTT over WebSocket');
}

async function listen(server: Server, host: string, port: number, speaks: string): Promise<Listener> {
  server.listen({ host, port });
  try {
    await once(server, 'listening');
  } catch (error) {
    throw listenFault(error, host, port, speaks);
  }
  return {
    port: (server.address() as AddressInfo).port,
    stopAccepting: () => server.close(),
  };
}

function listenFault(error: unknown, host: string, port: number, speaks: string): unknown {
  if (!(error instanceof Error && 'code' in error)) return error;
  const where = `${speaks} at ${host}, port ${port}`;
  switch (error.code) {
    case 'EADDRINUSE':
      return new TakelineFault(
        'broker-port-in-use',
        `Cannot listen for ${where}: the port is in use. Stop what uses it or choose another port.`,
      );
    case 'EACCES':
      return new TakelineFault(
        'broker-port-not-allowed',
        `Cannot listen for ${where}: the system does not allow it. Choose a port above 1023.`,
      );
    case 'EADDRNOTAVAIL':
    case 'ENOTFOUND':
    case 'EAI_AGAIN':
      return new TakelineFault(
        'broker-host-unknown',
        `Cannot listen for ${where}: this machine has no such address. Choose one of its own, or 0.0.0.0 for all of them.`,
      );
    default:
      return new TakelineFault('broker-cannot-listen', `Cannot listen for ${where}: ${error.message}.`);
  }
}
