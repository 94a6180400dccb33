import type { AedesPublishPacket, Client } from 'aedes';

/**
 * The broker library waits with a message until every subscriber has taken it, and after a hundred waiting messages takes in no
 * more: one screen that has gone to sleep would hold up all readings and alarms. So nobody is waited for; what piles up is bounded by
 * `mayTake`. Only a client's own queue is sent at the pace of the client; and whoever subscribes to nothing is left as it is.
 */
export function letNobodyWaitFor(client: Client): void {
  if (Object.hasOwn(client, 'waitForDrain') || !('waitForDrain' in client) || typeof client.waitForDrain !== 'function') return;
  const wait = client.waitForDrain.bind(client) as (done: (error: null, client: Client) => void) => void;
  Object.defineProperty(client, 'waitForDrain', {
    value: (done: (error: null, client: Client) => void) => {
      if (client.connecting) wait(done);
      else setImmediate(done, null, client);
    },
  });
}

/**
 * Whether a message that has just come in can be sent to a client.
 *
 * Where too much has piled up, what was promised to nobody (QoS 0) is left out; a client that misses more than that is cut off: it
 * finds its kept session, or a fresh picture, when it comes back.
 */
export function mayTake(client: Client, { qos }: AedesPublishPacket, maxUnsentBytes: number): boolean {
  const { conn: connection, connecting: isCatchingUp } = client;
  // While its queue is worked off, a client is waited for: with what can be left out, nobody else has to wait.
  if (qos === 0 && isCatchingUp && connection.writableNeedDrain) return false;
  if (connection.writableLength <= maxUnsentBytes) return true;
  if (qos > 0) connection.destroy(new Error(`does not take its messages: ${maxUnsentBytes} bytes have piled up`));
  return false;
}
