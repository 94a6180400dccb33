import { WEEKDAYS, type Ladder, type LadderStep, type Paging, type Person, type Site } from './site.js';

const PRIORITIES = ['urgent', 'high', 'medium', 'low'] as const;

/** Who is paged, when and how, as lines for a person; above all that nobody is. */
export function describePaging(site: Site): readonly string[] {
  const { people, rota, paging } = site;
  return [
    `Paging: ${sayWhetherAnybody(site)}`,
    ...people.map((person) => `  ${person.id}, ${person.name}: ${describeChannels(person, paging)}`),
    ...(rota === undefined
      ? []
      : [
          `  rota: ${rota.people.join(', ')}, handed over on ${String(WEEKDAYS[rota.handOverDay])} at ${rota.handOverAt} from ${rota.firstDate}; ${String(rota.overrides.length)} swaps`,
        ]),
    ...PRIORITIES.map((priority) => `  ${priority}: ${describeLadder(paging?.ladders[priority])}`),
    ...(paging === undefined ? [] : describeServers(paging)),
  ];
}

function sayWhetherAnybody({ people, paging }: Site): string {
  if (paging === undefined) return 'nobody is paged, for the file has no paging section; alarms are shown on the screens alone';
  if (people.length === 0) return 'nobody is paged, for the file names no people';
  if (Object.keys(paging.ladders).length === 0) return 'nobody is paged, for no priority has a ladder';
  if (paging.smtp === undefined && paging.webhook === undefined) return 'nobody is reached, for the file has neither smtp nor webhook';
  return `alarms that rise within ${String(paging.groupMs / 1000)} s are one page`;
}

function describeChannels({ email, webhook }: Person, paging: Paging | undefined): string {
  const channels = [
    ...(email === undefined ? [] : [`mail to ${email}${paging?.smtp === undefined ? ' (no mail server is given)' : ''}`]),
    ...(webhook === undefined ? [] : [`webhook for ${webhook}${paging?.webhook === undefined ? ' (no webhook is given)' : ''}`]),
  ];
  return channels.join('; ');
}

function describeLadder(ladder: Ladder | undefined): string {
  if (ladder === undefined) return 'pages nobody';
  const steps = ladder.steps.map(({ afterMs, to }: LadderStep) => `${afterMs === 0 ? 'at once' : `after ${minutes(afterMs)}`} ${to}`);
  const again = ladder.repeatMs === undefined ? '' : `, again every ${minutes(ladder.repeatMs)}`;
  return `${steps.join(', ')}${again}; unanswered after ${minutes(ladder.stopAfterMs)}`;
}

function describeServers({ linkBase, linkMs, smtp, webhook }: Paging): string[] {
  return [
    linkBase === undefined ? '  links: none, for link_base is not given' : `  links: ${linkBase}, good for ${String(linkMs / 3_600_000)} h`,
    ...(smtp === undefined ? [] : [`  mail: ${smtp.host}:${String(smtp.port)}, security ${smtp.security}, from ${smtp.from}`]),
    ...(webhook === undefined ? [] : [`  webhook: ${webhook.url}`]),
  ];
}

function minutes(ms: number): string {
  return `${String(ms / 60_000)} min`;
}
