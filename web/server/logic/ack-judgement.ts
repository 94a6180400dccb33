import type { AckGrant, LinkReading, LinkRefusal } from '../../../agent/process/signed-link.js';
import type { LinkState, StandingEntry } from './live-messages.js';
import { alarmId } from './standing-alarms.js';

/** How the alarm stands that a link is for. */
export type AckJudgement =
  | { readonly kind: 'refused'; readonly reason: LinkRefusal | 'person-gone' }
  /** It waits for somebody: the link can be used. */
  | { readonly kind: 'waits'; readonly grant: AckGrant; readonly entry: StandingEntry }
  /** Acknowledged, and its condition still there. */
  | { readonly kind: 'acknowledged'; readonly grant: AckGrant; readonly entry: StandingEntry }
  /** Shelved, suppressed by design or out of service. */
  | { readonly kind: 'set-aside'; readonly grant: AckGrant; readonly entry: StandingEntry }
  /** It rose anew since: this link is not for that. */
  | { readonly kind: 'later'; readonly grant: AckGrant; readonly entry: StandingEntry }
  /** It is normal again: over, and somebody acknowledged it. */
  | { readonly kind: 'over'; readonly grant: AckGrant }
  /** The web server does not hear the agent, so nobody here can know. */
  | { readonly kind: 'not-known'; readonly grant: AckGrant };

/**
 * Judges what a link is worth as things stand.
 *
 * @param people - ids of those whom the site file still names
 */
export function judgeLink(
  reading: LinkReading,
  people: readonly string[],
  standing: readonly StandingEntry[],
  link: LinkState,
): AckJudgement {
  if (!reading.ok) return { kind: 'refused', reason: reading.reason };
  const { grant } = reading;
  if (!people.includes(grant.person)) return { kind: 'refused', reason: 'person-gone' };
  const id = alarmId(grant);
  const entry = standing.find((one) => one.id === id);
  if (entry === undefined) return link.agent.state === 'heard' ? { kind: 'over', grant } : { kind: 'not-known', grant };
  if (Date.parse(entry.since) > grant.sinceMs) return { kind: 'later', grant, entry };
  switch (entry.state) {
    case 'unacknowledged':
    case 'returned-unacknowledged':
      return { kind: 'waits', grant, entry };
    case 'acknowledged':
      return { kind: 'acknowledged', grant, entry };
    case 'normal':
      return { kind: 'over', grant };
    case 'shelved':
    case 'suppressed-by-design':
    case 'out-of-service':
      return { kind: 'set-aside', grant, entry };
  }
}
