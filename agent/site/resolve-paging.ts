import { DEFAULTS } from './defaults.js';
import { handOverDateBefore, momentOf } from './hand-over.js';
import type { PagingFile, RotaFile, SiteFile } from './schema.js';
import { WEEKDAYS, type Ladder, type MailServer, type Paging, type Person, type Rota } from './site.js';

const MINUTE_MS = 60_000;

type LadderFile = NonNullable<PagingFile['ladders']['urgent']>;

export function resolvePeople(people: SiteFile['people']): readonly Person[] {
  return (people ?? []).map(({ id, name, channels }) => ({
    id,
    name: name ?? id,
    ...(channels.email === undefined ? {} : { email: channels.email }),
    ...(channels.webhook === undefined ? {} : { webhook: channels.webhook }),
  }));
}

export function resolveRota(file: RotaFile, timezone: string): Rota {
  const { day, at } = file.hand_over;
  const handOverDay = WEEKDAYS.indexOf(day);
  return {
    people: file.people,
    handOverDay,
    handOverAt: at,
    firstDate: handOverDateBefore(file.first_week.slice(0, 10), handOverDay),
    overrides: (file.overrides ?? []).map(({ from, to, person }) => ({
      fromMs: momentOf(from, at, timezone),
      toMs: momentOf(to, at, timezone),
      person,
    })),
  };
}

export function resolvePaging(file: PagingFile): Paging {
  const { ladders, smtp, webhook } = file;
  return {
    ...(file.link_base === undefined ? {} : { linkBase: file.link_base.replace(/\/+$/u, '') }),
    linkMs: (file.link_hours ?? DEFAULTS.linkHours.value) * 60 * MINUTE_MS,
    groupMs: (file.group_s ?? DEFAULTS.groupS.value) * 1000,
    ladders: {
      ...(ladders.urgent && { urgent: resolveLadder(ladders.urgent) }),
      ...(ladders.high && { high: resolveLadder(ladders.high) }),
      ...(ladders.medium && { medium: resolveLadder(ladders.medium) }),
      ...(ladders.low && { low: resolveLadder(ladders.low) }),
    },
    ...(smtp && { smtp: resolveMailServer(smtp) }),
    ...(webhook && {
      webhook: { url: webhook.url, ...(webhook.secret_file === undefined ? {} : { secretFile: webhook.secret_file }) },
    }),
  };
}

function resolveLadder({ steps, repeat_min: repeat, stop_after_min: stop }: LadderFile): Ladder {
  return {
    steps: steps.map(({ after_min: after, to }) => ({ afterMs: after * MINUTE_MS, to })),
    ...(repeat === undefined ? {} : { repeatMs: repeat * MINUTE_MS }),
    stopAfterMs: (stop ?? DEFAULTS.stopAfterMin.value) * MINUTE_MS,
  };
}

function resolveMailServer(smtp: NonNullable<PagingFile['smtp']>): MailServer {
  const { host, port, security, user, password_file: passwordFile, ca_file: caFile, from } = smtp;
  return {
    host,
    port: port ?? DEFAULTS.smtpPort.value,
    security: security ?? DEFAULTS.smtpSecurity.value,
    ...(user === undefined ? {} : { user }),
    ...(passwordFile === undefined ? {} : { passwordFile }),
    ...(caFile === undefined ? {} : { caFile }),
    from,
  };
}
