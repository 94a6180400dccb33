import { Type } from 'typebox';
import { DEFAULTS } from './defaults.js';
import {
  ADDRESS_PATTERN,
  DAY_PATTERN,
  HOUR_PATTERN,
  URL_PATTERN,
  atLeastZero,
  byDefault,
  count,
  id,
  listOf,
  positive,
  section,
  words,
} from './schema-parts.js';
import { WEEKDAYS } from './site.js';

const address = (description: string) => Type.String({ description, pattern: ADDRESS_PATTERN });
const url = (description: string) => Type.String({ description, pattern: URL_PATTERN });
const personId = (description: string) => words(`${description}, by id.`);

export const person = section('Somebody who can be paged.', {
  id: id('How rota and ladders name the person.'),
  name: Type.Optional(words('Name for people. Default: the id.')),
  channels: section('Where pages reach the person: at least one of the two.', {
    email: Type.Optional(address('Mail address. Without it no mail is sent.')),
    webhook: Type.Optional(
      words(
        'What the gateway behind the webhook knows the person by, such as a telephone number in quotes. Without it the webhook is not called.',
      ),
    ),
  }),
});

const dayOrMoment = (description: string) =>
  Type.String({
    description: `${description} A date, which means the hour of hand-over, or a date and hour on the site's clock.`,
    pattern: DAY_PATTERN,
  });

export const rota = section('Who is on call, a week each in turn. Default: nobody is on call.', {
  people: listOf('Who takes turns, by id, in order.', personId('One of the people')),
  hand_over: section('When the week changes hands.', {
    day: Type.Enum([...WEEKDAYS], { description: 'Day of the week.' }),
    at: Type.String({ description: 'Hour on the site\'s clock, in quotes, such as "07:00".', pattern: HOUR_PATTERN }),
  }),
  first_week: Type.String({ description: 'A date in the first week of the first person; nobody is on call before.', pattern: DAY_PATTERN }),
  overrides: Type.Optional(
    Type.Array(
      section('A stretch that another takes, as over a holiday; the later one in the list wins.', {
        from: dayOrMoment('From when.'),
        to: dayOrMoment('Until when.'),
        person: personId('Who takes it'),
      }),
      { description: 'Swaps. Default: none.' },
    ),
  ),
});

const step = section('A step of the ladder.', {
  after_min: atLeastZero('Minutes after the page was first due, as long as nobody has acknowledged.'),
  to: words('on-call, next-on-call, everyone, or the id of a person.'),
});

const ladder = section('Who is paged for alarms of this priority, and when. Default: nobody.', {
  steps: listOf('The steps, in order.', step),
  repeat_min: Type.Optional(positive('After the last step it is repeated every so many minutes. Default: not at all.')),
  stop_after_min: Type.Optional(
    positive(byDefault('Minutes after which paging ends and the unanswered page is an urgent alarm of its own.', DEFAULTS.stopAfterMin)),
  ),
});

export const paging = section('How people are paged. Default: nobody is.', {
  link_base: Type.Optional(
    url('Address at which telephones reach the web pages, such as https://takeline.example. Without it pages carry no link.'),
  ),
  link_hours: Type.Optional(positive(byDefault('Hours after which a link is worth nothing.', DEFAULTS.linkHours))),
  group_s: Type.Optional(
    atLeastZero(byDefault('Alarms that rise within so many s are one page; an urgent one waits for no others.', DEFAULTS.groupS)),
  ),
  ladders: section('A ladder for each priority that wakes somebody; a priority left out pages nobody.', {
    urgent: Type.Optional(ladder),
    high: Type.Optional(ladder),
    medium: Type.Optional(ladder),
    low: Type.Optional(ladder),
  }),
  smtp: Type.Optional(
    section('The mail server. Default: no mail is sent.', {
      host: words('Its name.'),
      port: Type.Optional(count(byDefault('Its port.', DEFAULTS.smtpPort))),
      security: Type.Optional(
        Type.Enum(
          ['starttls', 'tls', 'none'],
          byDefault('starttls turns to TLS before anything is said, tls begins with it, none stays in the clear.', DEFAULTS.smtpSecurity),
        ),
      ),
      user: Type.Optional(words('Who signs in. Default: nobody does.')),
      password_file: Type.Optional(
        words('File with the password, from the data folder. Default: TAKELINE_SMTP_PASSWORD of the environment.'),
      ),
      ca_file: Type.Optional(
        words("File with the authority that signed the server's certificate, PEM. Default: the system's authorities."),
      ),
      from: address('Whom the mail is from.'),
    }),
  ),
  webhook: Type.Optional(
    section('A signed HTTP request, behind which any gateway to telephones or chat can stand. Default: none is sent.', {
      url: url('Where it is sent.'),
      secret_file: Type.Optional(
        words('File with the secret that it is signed with, from the data folder. Default: TAKELINE_WEBHOOK_SECRET of the environment.'),
      ),
    }),
  ),
});
