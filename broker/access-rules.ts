import { agentStatusFilter, answerFilter, inFilter, outFilter, requestFilter } from '../agent/contract/topics.js';
import type { Role } from '../agent/process/secrets.js';
import { filterCovers } from './topic-filter.js';

/** Who signs in: what measures, what judges, what shows. */
export const ROLES: readonly Role[] = ['sensor', 'agent', 'web'];

/** What the rules are made for. */
export interface AccessScope {
  /** The site whose topics are open; `ANY_SITE` opens those of every site. */
  readonly siteId: string;
  /** Topics that the site file gives to signals; those under `takeline/<site>/in/` need not be among them. */
  readonly signalTopics: readonly string[];
}

/** Topic filters that a role may publish to and subscribe to; everything else is closed to it. */
export interface Permissions {
  readonly publish: readonly string[];
  readonly subscribe: readonly string[];
}

/** The rules: who may do what. */
export function permissionsOf(role: Role, { siteId, signalTopics }: AccessScope): Permissions {
  const byDefault = inFilter(siteId);
  const readings = [byDefault, ...signalTopics.filter((topic) => !filterCovers(byDefault, topic) && !isOurOwn(topic))];
  switch (role) {
    case 'sensor':
      return { publish: readings, subscribe: [] };
    case 'agent':
      return {
        publish: [outFilter(siteId), agentStatusFilter(siteId), answerFilter(siteId)],
        subscribe: [...readings, requestFilter(siteId)],
      };
    case 'web':
      // Readings as well: the screens show a signal live.
      return {
        publish: [requestFilter(siteId)],
        subscribe: [outFilter(siteId), agentStatusFilter(siteId), answerFilter(siteId), ...readings],
      };
  }
}

/** Whether every topic that a filter (or topic) stands for is among those allowed. */
function isAllowed(allowed: readonly string[], asked: string): boolean {
  return allowed.some((filter) => filterCovers(filter, asked));
}

/** The rules at work, with answers remembered. */
export interface Access {
  mayPublish(role: Role, topic: string): boolean;
  maySubscribe(role: Role, filter: string): boolean;
}

/** A role publishes to a few thousand topics at most; whoever makes up new ones without end shall not fill the memory. */
const REMEMBERED_TOPICS = 20_000;

/** The rules of a scope; asking again about the same topic costs one look-up. */
export function createAccess(scope: AccessScope): Access {
  const roles = new Map(ROLES.map((role) => [role, { ...permissionsOf(role, scope), known: new Map<string, boolean>() }]));
  return {
    mayPublish: (role, topic) => {
      const rules = roles.get(role);
      if (!rules) return false;
      const known = rules.known.get(topic);
      if (known !== undefined) return known;
      if (rules.known.size >= REMEMBERED_TOPICS) rules.known.clear();
      const allowed = isAllowed(rules.publish, topic);
      rules.known.set(topic, allowed);
      return allowed;
    },
    maySubscribe: (role, filter) => isAllowed(roles.get(role)?.subscribe ?? [], filter),
  };
}

/** A signal's topic in the site file opens nothing that the agent and the web write. */
function isOurOwn(topic: string): boolean {
  return [outFilter, agentStatusFilter, requestFilter, answerFilter].some((filter) => filterCovers(filter('+'), topic));
}
