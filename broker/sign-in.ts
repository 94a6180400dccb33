import type { AedesOptions, Client, ConnectPacket } from 'aedes';
import type { Role } from '../agent/process/secrets.js';
import { type Access, ROLES } from './access-rules.js';
import type { Credentials } from './credentials.js';
import { createPasswordCheck } from './password-check.js';

/** Why a client is not let in, and the return code that tells it: MQTT 3.1.1 table 3.1. */
const REFUSALS = {
  'client-id-missing': { returnCode: 2, why: 'it wants its session kept but has no client id' },
  'broker-full': { returnCode: 3, why: 'as many clients as are allowed are signed in already' },
  'passwords-busy': { returnCode: 3, why: 'too many other passwords are being checked' },
  'wrong-password': { returnCode: 4, why: 'wrong user name or password' },
  'no-password': { returnCode: 5, why: 'no user name and password' },
  'will-not-allowed': { returnCode: 5, why: 'its will is for a topic that it may not publish to' },
} as const;
type Decision = { readonly role: Role } | { readonly refusal: keyof typeof REFUSALS };

/** What the broker knows of a client from its CONNECT on. */
interface Opening {
  readonly role: Role | undefined;
  readonly hasUserName: boolean;
  readonly isWithoutId: boolean;
  readonly willTopic: string | undefined;
}

/** What signing in needs to know of the broker. */
export interface SignInOptions {
  readonly credentials: Credentials;
  readonly access: Access;
  /** Whether another client of this id finds no room. */
  readonly isFull: (clientId: string) => boolean;
  /** A client that keeps a session has proved who it is. */
  readonly onReturn: (client: Client) => void;
}

/** The hooks for letting clients in, and who they turned out to be. */
export interface SignIn extends Required<Pick<AedesOptions, 'preConnect' | 'authenticate'>> {
  roleOf(client: object): Role | undefined;
}

/** Lets clients in by user name and password; the user name is the role. */
export function createSignIn({ credentials, access, isFull, onReturn }: SignInOptions): SignIn {
  const check = createPasswordCheck(credentials);
  const openings = new WeakMap<object, Opening>();
  const roles = new WeakMap<object, Role>();

  const decide = async (client: Client, password: Buffer | undefined): Promise<Decision> => {
    const opening = openings.get(client);
    if (opening?.isWithoutId && !client.clean) return { refusal: 'client-id-missing' };
    if (!opening?.hasUserName || password === undefined) return { refusal: 'no-password' };
    const { role, willTopic } = opening;
    if (role === undefined) return { refusal: 'wrong-password' };
    if (isFull(client.id)) return { refusal: 'broker-full' };
    const verdict = await check(role, password);
    if (verdict !== 'right') return { refusal: verdict === 'busy' ? 'passwords-busy' : 'wrong-password' };
    if (willTopic !== undefined && !access.mayPublish(role, willTopic)) return { refusal: 'will-not-allowed' };
    return { role };
  };

  return {
    roleOf: (client) => roles.get(client),

    preConnect: (client, packet, done) => {
      const role = ROLES.find((name) => name === packet.username);
      openings.set(client, {
        role,
        hasUserName: packet.username !== undefined,
        isWithoutId: packet.clientId === '',
        willTopic: packet.will?.topic,
      });
      keepSessionsApart(packet, role);
      done(null, true);
    },

    authenticate: (client, _user, password, done) => {
      const refuse = (returnCode: 2 | 3 | 4 | 5, why: string): void => {
        done(Object.assign(new Error(why), { returnCode }), false);
      };
      decide(client, password).then(
        (decision) => {
          if ('refusal' in decision) {
            const { returnCode, why } = REFUSALS[decision.refusal];
            refuse(returnCode, why);
            return;
          }
          roles.set(client, decision.role);
          if (!client.clean && !client.closed) onReturn(client);
          done(null, true);
        },
        (error: unknown) => refuse(3, `its password cannot be checked (${error instanceof Error ? error.message : String(error)})`),
      );
    },
  };
}

/**
 * A client id belongs to the user who comes with it: under another user the same id is another client. Otherwise a sensor that
 * calls itself like the agent would throw the agent out and be handed its queued messages.
 */
function keepSessionsApart(packet: ConnectPacket, role: Role | undefined): void {
  if (role !== undefined && packet.clientId !== '') packet.clientId = `${role}/${packet.clientId}`;
}
