import type { AedesOptions, AedesPublishPacket, Client, PublishPacket } from 'aedes';
import type { Access } from './access-rules.js';
import type { Backlogs } from './backlog.js';
import type { SignIn } from './sign-in.js';
import { letNobodyWaitFor, mayTake } from './slow-clients.js';

/** What the hooks decide by. */
export interface HookOptions {
  readonly access: Access;
  readonly signIn: SignIn;
  readonly backlogs: Backlogs;
  readonly log: (line: string) => void;
  readonly brokerId: string;
  readonly maxPayloadBytes: number;
  readonly maxUnsentBytes: number;
}

type Hooks = Pick<AedesOptions, 'preConnect' | 'authenticate' | 'authorizePublish' | 'authorizeSubscribe' | 'authorizeForward'>;

/** Where the broker library asks what a client may do. */
export function createHooks(options: HookOptions): Hooks {
  const { access, signIn, backlogs, log, brokerId, maxPayloadBytes, maxUnsentBytes } = options;

  const objectionTo = (client: Client | null, { topic, payload }: PublishPacket): string | undefined => {
    // No client: a will that an earlier start of the broker left behind; it was judged when it came.
    if (client === null) return undefined;
    const role = signIn.roleOf(client);
    if (role === undefined || !access.mayPublish(role, topic)) return `may not publish to ${topic}`;
    return payload.length > maxPayloadBytes ? `sent ${payload.length} bytes to ${topic}, more than ${maxPayloadBytes}` : undefined;
  };

  return {
    preConnect: (client, packet, done) => {
      letNothingPassForADuplicate(client, brokerId);
      signIn.preConnect(client, packet, done);
    },
    authenticate: signIn.authenticate,

    // [MQTT-3.3.5-2] leaves two ways: acknowledge and drop, or close. Closed, somebody finds out. Wills come by here as well.
    authorizePublish: (client, packet, done) => {
      const objection = objectionTo(client, packet);
      done(objection === undefined ? null : new Error(objection));
    },

    // No subscription in the answer makes a SUBACK with 0x80, "failure" (MQTT 3.1.1 §3.9.3).
    authorizeSubscribe: (client, subscription, done) => {
      const isAllowed = maySubscribe(options, client, subscription.topic);
      if (isAllowed) letNobodyWaitFor(client);
      else log(`${client.id} may not subscribe to ${subscription.topic}`);
      done(null, isAllowed ? subscription : null);
    },

    authorizeForward: (client, packet) => {
      if (comesFromTheStore(packet)) return packet;
      if (packet.qos > 0 && backlogs.holdsBack(client, packet)) return null;
      return mayTake(client, packet, maxUnsentBytes) ? packet : null;
    },
  };
}

/** A queued message has its packet identifier already, a retained one is of no broker; what has just come in is neither. */
function comesFromTheStore({ messageId, brokerId }: AedesPublishPacket): boolean {
  return messageId !== undefined || !brokerId;
}

/** Whether a client's role opens a filter to it. */
export function maySubscribe({ access, signIn }: Pick<HookOptions, 'access' | 'signIn'>, client: object, filter: string): boolean {
  const role = signIn.roleOf(client);
  return role !== undefined && access.maySubscribe(role, filter);
}

/**
 * The broker library numbers messages as they come in and takes one that reaches a client after a later one for a duplicate, and
 * drops it. But a message that is retained or queued takes longer on its way than one that is not, so it is overtaken and lost.
 * A number last seen of 0 says that nothing was seen yet. What remains: a client whose subscriptions overlap gets a message once
 * for each, as MQTT 3.1.1 §3.3.5 allows.
 */
function letNothingPassForADuplicate(client: Client, brokerId: string): void {
  if (!('duplicates' in client) || typeof client.duplicates !== 'object' || client.duplicates === null) return;
  Object.defineProperty(client.duplicates, brokerId, { get: () => 0, set: () => undefined });
}
