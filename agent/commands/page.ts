import { PAGE_CAUTIONS } from '../flow/page/page-words.js';
import { channelsOf } from '../flow/page/targets.js';
import type { Channel } from '../flow/page/page-output.js';
import type { PageLetter, Posted } from '../io/page-letter.js';
import { addressOf } from '../live/page-letters.js';
import { pagePosts, type PagePosts } from '../io/page-posts.js';
import { readDemoSite } from '../demo/demo-site.js';
import { WALL_CLOCK } from '../process/clock.js';
import type { Person, Site } from '../site/site.js';
import { openSqliteReader } from '../store/sqlite-reader.js';
import { formatTime } from '../units/time.js';
import type { Command, CommandIo } from './command.js';
import { parseOptions, readSiteOrTell, textOf } from './options.js';

const USAGE = `takeline page --test [--site FILE] [--data DIR]
takeline page [--data DIR]

without --test: lists the last pages of the outbox in DIR, delivered, waiting or given up, and why
  --test         sends a page marked as a test through every channel of every person, and says which were taken
  --site FILE    the site file; default the demo site, which has no mail server
  --data DIR     where the secrets of mail server and webhook and the outbox are kept; default ./data

exit code: 0 every test page was taken, or the list was printed; 1 one was not, or there is nobody to page; 2 wrong usage`;

const OPTIONS = { test: { type: 'boolean' }, site: { type: 'string' }, data: { type: 'string' } } as const;
const LISTED = 50;

/** `takeline page`: tries every channel of every person, or lists what went out. */
export const pageCommand: Command = { usage: USAGE, run };

async function run(args: readonly string[], io: CommandIo): Promise<number> {
  const parsed = parseOptions('page', USAGE, args, OPTIONS, io);
  if (typeof parsed === 'number') return parsed;
  const dataDir = textOf(parsed, 'data') ?? 'data';
  if (parsed.values['test'] !== true) return list(dataDir, io);
  const sitePath = textOf(parsed, 'site');
  const site = sitePath === undefined ? await readDemoSite() : await readSiteOrTell(sitePath, io);
  return site === undefined ? 1 : testAll(site, dataDir, io);
}

async function testAll(site: Site, dataDir: string, io: CommandIo): Promise<number> {
  const posts = pagePosts(site.paging, dataDir, WALL_CLOCK);
  const unreached = site.people.filter((person) => channelsOf(site, person).length === 0);
  if (site.people.length === 0) io.err('nobody can be paged: the site file names no people');
  for (const { name } of unreached)
    io.err(`${name}: no channel; the site file has no mail server or webhook under paging that would reach them`);
  const tries = site.people.flatMap((person) => channelsOf(site, person).map((channel) => ({ person, channel })));
  const results = await Promise.all(tries.map((one) => testOne(site, one.person, one.channel, posts)));
  for (const [index, { person, channel }] of tries.entries()) {
    const posted = results[index] as Posted;
    const where =
      channel === 'email'
        ? `mail to ${addressOf(person, channel)} by ${serverOf(site)}`
        : `webhook for ${addressOf(person, channel)} by ${site.paging?.webhook?.url ?? ''}`;
    if (posted.ok) io.out(`${person.name}: ${where}: taken (${posted.said})`);
    else io.err(`${person.name}: ${where}: NOT taken${posted.forGood ? ', refused for good' : ''}: ${posted.said}`);
  }
  return site.people.length > 0 && unreached.length === 0 && results.every(({ ok }) => ok) ? 0 : 1;
}

function testOne(site: Site, person: Person, channel: Channel, posts: PagePosts): Promise<Posted> {
  const madeMs = WALL_CLOCK.nowMs();
  const letter: PageLetter = {
    ...{ id: `test/${String(madeMs)}/${person.id}/${channel}`, address: addressOf(person, channel), madeMs, urgent: false },
    subject: `[TEST] ${site.name}: a test page, nothing is wrong`,
    text: `This is a test of the pages of ${site.name}, to ${person.name}. Nothing is wrong and nothing is to be done.\n\n${PAGE_CAUTIONS}\n`,
    detail: { kind: 'test', short: `[TEST] ${site.name}: nothing is wrong`, site: site.id, person: { id: person.id, name: person.name } },
  };
  return posts[channel]?.send(letter) ?? Promise.resolve({ ok: false, forGood: true, said: 'there is no such channel' });
}

function serverOf({ paging }: Site): string {
  return paging?.smtp === undefined ? '' : `${paging.smtp.host}:${String(paging.smtp.port)}`;
}

async function list(dataDir: string, io: CommandIo): Promise<number> {
  const reader = await openSqliteReader({ dataDir });
  try {
    const messages = await reader.pageMessages(LISTED);
    if (messages.length === 0) io.out('no page has been made yet');
    for (const { madeMs, state, tries, channel, address, said } of messages.toReversed()) {
      io.out(
        `${formatTime(madeMs)}  ${state.padEnd(9)}  ${channel} to ${address}, ${String(tries)} ${tries === 1 ? 'try' : 'tries'}${said === undefined ? '' : `: ${said}`}`,
      );
    }
    return 0;
  } finally {
    await reader.stop();
  }
}
