import type { LinkState, SilenceReason } from '../../server/logic/live-messages.js';

/** This screen's own line to the web server. */
export interface Connection {
  readonly state: 'connecting' | 'live' | 'broken';
  /** Epoch ms on the server's clock. */
  readonly sinceMs: number;
}

/** Why what is on the screen may no longer be so. */
export interface Trouble {
  readonly where: 'connection' | 'broker' | 'agent';
  readonly sinceMs: number;
  readonly headline: string;
  readonly detail: string;
}

const KEEPS_TRYING = 'It keeps trying.';
const AS_IT_WAS = 'Everything below is as it last was, not as it is now.';

const SILENCE_WORDS: Readonly<Record<SilenceReason, Pick<Trouble, 'headline' | 'detail'>>> = {
  ended: {
    headline: 'The agent has stopped: nothing is being watched',
    detail: `Start it again on its machine. ${AS_IT_WAS}`,
  },
  'no-heartbeat': {
    headline: 'The agent is silent: nothing may be watched',
    detail: `Look at the machine it runs on, and at the network. ${AS_IT_WAS}`,
  },
  'never-heard': {
    headline: 'No agent has been heard: nothing is being watched',
    detail: 'See that the agent runs, and for this very site.',
  },
  'broker-away': {
    headline: 'The web server cannot reach the broker: nothing new is known',
    detail: `${KEEPS_TRYING} ${AS_IT_WAS}`,
  },
};

/** The first thing on the way from the take-ups to this screen that is broken; undefined where nothing is. */
export function troubleOf(connection: Connection, link: LinkState | undefined): Trouble | undefined {
  if (connection.state === 'broken') {
    return {
      where: 'connection',
      sinceMs: connection.sinceMs,
      headline: 'No connection to the Takeline server',
      detail: `This screen keeps trying. ${AS_IT_WAS}`,
    };
  }
  if (link === undefined) return undefined;
  if (!link.broker.connected) {
    return { where: 'broker', sinceMs: link.broker.sinceMs, ...SILENCE_WORDS['broker-away'] };
  }
  if (link.agent.state === 'silent') {
    return { where: 'agent', sinceMs: link.agent.sinceMs, ...SILENCE_WORDS[link.agent.why] };
  }
  return undefined;
}
