import type { ComponentChildren } from 'preact';
import { SET_UP_PARTS, type SetUpPart } from '../logic/route.js';
import { may, site } from '../state/session.js';
import { SiteAsRead } from './set-up-as-read.js';
import { SetUpDisk } from './set-up-disk.js';
import { SetUpLoop } from './set-up-loop.js';
import { OnCall } from './set-up-on-call.js';
import { SetUpSignals } from './set-up-signals.js';
import { SiteFileEditor } from './set-up-site-file.js';
import { SpringFromWire } from './set-up-springs.js';

const PART_WORDS: Readonly<Record<SetUpPart, string>> = {
  signals: 'Signals',
  'as-read': 'Site as read',
  springs: 'Springs from wire',
  loop: 'Tension around the loop',
  'site-file': 'Site file',
  'on-call': 'People and rota',
  disk: 'Disk',
};

/** What an engineer sets up, a part at a time. */
export function SetUpScreen({ part }: { readonly part: SetUpPart }) {
  const takeups = (site.value?.conveyors ?? []).reduce((count, conveyor) => count + conveyor.takeups.length, 0);
  return (
    <section class="page set-up">
      <header class="page-head">
        <h1>Set-up</h1>
        <p class="where">
          {site.value?.name}, {counted(site.value?.conveyors.length ?? 0, 'conveyor')},{' '}
          <span class="whole">{counted(takeups, 'take-up')}</span>, clock of {site.value?.timezone}
        </p>
      </header>
      <nav class="parts" aria-label="Parts of the set-up">
        {SET_UP_PARTS.filter((one) => one !== 'site-file' || may('change-site')).map((one) => (
          <a key={one} href={`#/set-up/${one}`} aria-current={one === part ? 'page' : undefined}>
            {PART_WORDS[one]}
          </a>
        ))}
      </nav>
      {partOf(part)}
    </section>
  );
}

function counted(count: number, what: string): string {
  return `${count} ${what}${count === 1 ? '' : 's'}`;
}

function partOf(part: SetUpPart): ComponentChildren {
  switch (part) {
    case 'signals':
      return <SetUpSignals />;
    case 'as-read':
      return <SiteAsRead />;
    case 'loop':
      return <SetUpLoop />;
    case 'springs':
      return <SpringFromWire />;
    case 'site-file':
      return <SiteFileEditor />;
    case 'on-call':
      return <OnCall />;
    case 'disk':
      return <SetUpDisk />;
  }
}
