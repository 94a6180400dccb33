import { onCallAt } from '../flow/page/rota.js';
import { TakelineFault } from '../process/fault.js';
import { writeWhole } from '../process/write-whole.js';
import { readSite } from '../site/read-site.js';
import type { SiteFault } from '../site/site-fault.js';
import { signalsOf, type Site } from '../site/site.js';

/** The site file as the screens edit it. */
interface SiteDesk {
  /** As it is in force. */
  readonly text: string;
  /** Every fault and warning of a text, as `takeline check` tells them. */
  check(text: string): { readonly faults: readonly SiteFault[]; readonly warnings: readonly SiteFault[] };
  rota(atMs: number): RotaWords | undefined;
}

interface RotaWords {
  readonly people: readonly string[];
  readonly onCall?: string;
  readonly next?: string;
  readonly handOver: string;
  readonly ladders: readonly { readonly priority: string; readonly steps: readonly { readonly afterMin: number; readonly to: string }[] }[];
}

const DAYS = ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday'] as const;
const MINUTE_MS = 60_000;

/** What the web server shows of a site file, and holds a changed one to. */
export function siteDeskOf(site: Site, text: string): SiteDesk {
  return { text, check: checkSite, rota: (atMs) => rotaOf(site, atMs) };
}

function rotaOf({ rota, people, paging, timezone }: Site, atMs: number): RotaWords | undefined {
  if (rota === undefined) return undefined;
  const nameOf = (id: string): string => people.find((person) => person.id === id)?.name ?? id;
  const now = onCallAt(rota, timezone, atMs);
  return {
    people: rota.people.map(nameOf),
    ...(now === undefined ? {} : { onCall: nameOf(now.person) }),
    ...(now?.next === undefined ? {} : { next: nameOf(now.next) }),
    handOver: `${DAYS[rota.handOverDay] ?? ''} ${rota.handOverAt}`,
    ladders: Object.entries(paging?.ladders ?? {}).map(([priority, { steps }]) => ({
      priority,
      steps: steps.map(({ afterMs, to }) => ({ afterMin: afterMs / MINUTE_MS, to: nameOf(to).replaceAll('-', ' ') })),
    })),
  };
}

/** Looks through a text without keeping it. */
function checkSite(text: string): ReturnType<SiteDesk['check']> {
  const reading = readSite(text, 'site file');
  return reading.ok ? { faults: [], warnings: reading.warnings } : { faults: reading.faults, warnings: [] };
}

/** Puts a text in the place of a site file. @throws TakelineFault where it cannot be written */
export async function keepSite(path: string, text: string): Promise<void> {
  try {
    await writeWhole(path, text);
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? String(error.code) : String(error);
    throw new TakelineFault('site-unwritable', `the site file ${path} cannot be written (${code}): see that this user may write it`);
  }
}

/** Topics of a site's signals that are not where they are by default: the broker lets them in by name. */
export function ownTopicsOf(site: Site): readonly string[] {
  const byDefault = `takeline/${site.id}/in/`;
  return signalsOf(site)
    .map(({ topic }) => topic)
    .filter((topic) => !topic.startsWith(byDefault));
}
