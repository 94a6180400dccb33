import type { MqttClient, Packet } from 'mqtt';

type Send = (packet: Packet, goOn?: (error?: Error) => void, stored?: () => void) => void;

/**
 * Acknowledges messages of QoS 1 when what they hold is durable, while the next ones are taken already. The client by itself takes no
 * message before the one before is acknowledged: every reading would wait for a write to the disk of its own.
 *
 * Acknowledgements go out in the order of the messages ([MQTT-4.6.0-2]), and only on the connection on which those came: on another the
 * same number is another message.
 */
export class LateAcknowledgements {
  private readonly held = new Map<number, Promise<void>>();
  private last: Promise<unknown> = Promise.resolve();

  constructor(private readonly client: MqttClient) {
    // The client's own way of sending is the one place that every acknowledgement passes; it is pinned to the version that was read.
    const send = (client['_sendPacket'] as Send).bind(client);
    client['_sendPacket'] = ((packet, ...rest) => {
      const taken = packet.cmd === 'puback' ? this.held.get(packet.messageId ?? 0) : undefined;
      if (taken === undefined) {
        send(packet, ...rest);
        return;
      }
      this.held.delete(packet.messageId ?? 0);
      const [goOn] = rest;
      goOn?.();
      this.later(taken, () => {
        send(packet);
      });
    }) satisfies Send;
  }

  /** @param taken - what the acknowledgement of a message waits for; where it fails there is none */
  hold(messageId: number, taken: Promise<void>): void {
    // Whether it failed is asked when its turn comes.
    taken.catch(() => undefined);
    this.held.set(messageId, taken);
  }

  private later(taken: Promise<void>, acknowledge: () => void): void {
    const { stream } = this.client;
    this.last = Promise.allSettled([this.last, taken]).then(([, outcome]) => {
      if (outcome.status === 'fulfilled' && this.client.stream === stream && this.client.connected) acknowledge();
    });
  }
}
