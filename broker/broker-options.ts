import type { AccessScope } from './access-rules.js';
import type { Credentials } from './credentials.js';

/** What the broker puts up with. */
export interface BrokerLimits {
  /** Longest payload of a message; longer ones close the connection. A reading has tens of bytes, a picture of a take-up some thousand. */
  readonly maxPayloadBytes: number;
  /** Clients signed in at one time. */
  readonly maxClients: number;
  /** From opening a connection to a whole CONNECT. */
  readonly connectTimeoutMs: number;
  /** What may pile up for a subscriber that does not take it: more than all retained messages of a large site together. */
  readonly maxUnsentBytes: number;
  /** A client that takes nothing of what was queued for it for so long is cut off. */
  readonly drainTimeoutMs: number;
  /** Messages that wait for one absent client: 300 MB of disk, or a quarter of an hour of a thousand readings a second. */
  readonly maxQueuedMessages: number;
}

export const DEFAULT_LIMITS: BrokerLimits = {
  maxPayloadBytes: 64 * 1024,
  maxClients: 2_000,
  connectTimeoutMs: 10_000,
  maxUnsentBytes: 16 * 1024 * 1024,
  drainTimeoutMs: 10_000,
  maxQueuedMessages: 1_000_000,
};

/** This machine alone: whoever wants the network says so. */
export const DEFAULT_HOST = '127.0.0.1';
/** Registered for MQTT. */
export const DEFAULT_TCP_PORT = 1883;
export const DEFAULT_WS_PORT = 1884;

/** How a broker is made. */
export interface BrokerOptions {
  /** Sessions and retained messages are kept in `broker/` below it, credentials beside that. */
  readonly dataDir: string;
  /** Address to listen on; default `127.0.0.1`. */
  readonly host?: string;
  /** Default 1883; 0 takes any that is free. */
  readonly tcpPort?: number;
  /** Default 1884; 0 takes any that is free; `off` leaves WebSocket out. */
  readonly wsPort?: number | 'off';
  /** Default: those of the data folder, made at the first start. */
  readonly credentials?: Credentials;
  /** Default: the topics of every site, and no others. */
  readonly scope?: AccessScope;
  readonly limits?: Partial<BrokerLimits>;
  /** Is told in a line who was turned away and why, and what the broker cannot do. Default: nobody is told. */
  readonly log?: (line: string) => void;
}

/** Where a started broker listens. */
export interface BrokerPorts {
  readonly tcpPort: number;
  /** Absent where WebSocket is off. */
  readonly wsPort?: number;
}
