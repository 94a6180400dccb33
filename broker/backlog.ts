/** A client whose queue is being worked off. */
interface CatchingUp {
  readonly client: object;
  /** Messages queued since it began and not yet read from the queue. */
  readonly waiting: Set<string>;
  /** Sent and not yet acknowledged. */
  unacknowledged: number;
  goOn: (() => void) | undefined;
}

/** What is needed of a client to know it again: a second connection may come with the same id. */
export interface BacklogClient {
  readonly id: string;
}

/** What tells a message from all others: which start of the broker took it in, and its number since. */
export interface MessageNumber {
  readonly brokerId?: string;
  readonly brokerCounter: number;
}

/**
 * Packet identifiers are 16 bits. Were more messages than that on their way, an acknowledgement of one would strike out another,
 * so the rest of a queue waits for acknowledgements.
 */
const UNACKNOWLEDGED_AT_MOST = 20_000;

/**
 * Keeps the order of messages for clients that come back: what was queued while they were away goes first, what comes in meanwhile
 * queues up behind. Left alone, the broker library sends both at once, and a reading newer than the queued ones makes those late.
 */
export class Backlogs {
  readonly #catchingUp = new Map<string, CatchingUp>();

  /** Before the client's subscriptions are restored. */
  begin(client: BacklogClient): void {
    this.#release(client.id);
    this.#catchingUp.set(client.id, { client, waiting: new Set(), unacknowledged: 0, goOn: undefined });
  }

  /** The queue has been worked off, or the client has gone. */
  end(client: BacklogClient): void {
    if (this.#of(client)) this.#release(client.id);
  }

  queued(clientId: string, message: MessageNumber): void {
    this.#catchingUp.get(clientId)?.waiting.add(keyOf(message));
  }

  acknowledged(clientId: string, message: MessageNumber): void {
    const state = this.#catchingUp.get(clientId);
    if (!state) return;
    // The previous connection of the same client may have acknowledged it.
    state.waiting.delete(keyOf(message));
    state.unacknowledged--;
    if (state.unacknowledged < UNACKNOWLEDGED_AT_MOST) state.goOn?.();
  }

  /** Whether a message that has just come in must not be sent yet, because it will be read from the queue. */
  holdsBack(client: BacklogClient, message: MessageNumber): boolean {
    return this.#catchingUp.size > 0 && (this.#of(client)?.waiting.has(keyOf(message)) ?? false);
  }

  /**
   * Goes through a client's queue until nothing waits in it any more.
   *
   * @param readQueue - all that is queued at the time of asking, in order
   */
  async *workOff<Message extends MessageNumber>(client: BacklogClient, readQueue: () => AsyncIterable<Message>): AsyncGenerator<Message> {
    let isFirstPass = true;
    let found = true;
    while (isFirstPass || (found && (this.#of(client)?.waiting.size ?? 0) > 0)) {
      found = false;
      for await (const message of readQueue()) {
        // What is not acknowledged yet is still there in the next pass.
        const isNew = this.#of(client)?.waiting.delete(keyOf(message)) ?? false;
        if (!isFirstPass && !isNew) continue;
        found = true;
        yield message;
        await this.#sent(client);
      }
      isFirstPass = false;
    }
    this.end(client);
  }

  async #sent(client: BacklogClient): Promise<void> {
    const state = this.#of(client);
    if (!state) return;
    state.unacknowledged++;
    if (state.unacknowledged < UNACKNOWLEDGED_AT_MOST) return;
    await new Promise<void>((resolve) => (state.goOn = resolve));
    state.goOn = undefined;
  }

  #of(client: BacklogClient): CatchingUp | undefined {
    const state = this.#catchingUp.get(client.id);
    return state?.client === client ? state : undefined;
  }

  #release(clientId: string): void {
    const state = this.#catchingUp.get(clientId);
    this.#catchingUp.delete(clientId);
    state?.goOn?.();
  }
}

function keyOf({ brokerId, brokerCounter }: MessageNumber): string {
  return `${brokerId ?? ''}:${brokerCounter}`;
}
