import { CAUTIONS } from '../../../agent/plan/cautions.js';
import type { Site } from '../../../agent/site/site.js';
import type { AckGrant, LinkRefusal } from '../../../agent/process/signed-link.js';
import type { UnitSystem } from '../../../agent/units/display.js';
import { inUnits } from '../../../agent/units/in-units.js';
import { localTime } from '../../../agent/units/local-time.js';
import type { AckJudgement } from './ack-judgement.js';
import type { AckPage } from './ack-page.js';
import type { StandingEntry } from './live-messages.js';
import type { AlarmList } from './site-answer.js';

/** Who acknowledged an alarm, and when. */
export interface AcknowledgedBy {
  readonly by: string;
  readonly timeMs: number;
}

const REFUSALS: Readonly<Record<LinkRefusal | 'person-gone', string>> = {
  malformed: 'This is no link of ours, or only a part of one: open it from the message itself.',
  forged: 'This link was not made here, or was altered on its way: open it from the message itself.',
  expired: 'This link has expired. Sign in to Takeline to see how the alarm stands.',
  'person-gone': 'The site no longer names the person whom this link was sent to. Sign in to Takeline to see how the alarm stands.',
};

/** Where a person's hands could be in the way once they go to look. */
const ON_THE_WAY: ReadonlySet<string> = new Set(['lock-out', 'stored-energy', 'carriage-moves']);

/** Says of alarms what the page of a link shows. */
export class AckWords {
  constructor(
    private readonly site: Site,
    private readonly alarmList: AlarmList,
  ) {}

  /** How a person of the site is called. */
  nameOf(person: string): string {
    return this.site.people.find(({ id }) => id === person)?.name ?? person;
  }

  /** The page before anything is done. */
  asking(judgement: AckJudgement, acknowledged: AcknowledgedBy | undefined): AckPage {
    if (judgement.kind === 'refused') return this.refusal(judgement.reason);
    const page = this.page(judgement.grant, 'entry' in judgement ? judgement.entry : undefined, this.standsWords(judgement, acknowledged));
    const mayAsk = judgement.kind === 'waits' || judgement.kind === 'not-known';
    return mayAsk ? { ...page, button: `Acknowledge, as ${this.nameOf(judgement.grant.person)}` } : page;
  }

  /** The page after the button was pressed. */
  told(judgement: Exclude<AckJudgement, { readonly kind: 'refused' }>, verdict: string): AckPage {
    return this.page(judgement.grant, 'entry' in judgement ? judgement.entry : undefined, verdict);
  }

  /** A page that names no alarm: nothing of the plant is told to whoever holds no good link. */
  refusal(reason: LinkRefusal | 'person-gone'): AckPage {
    return { site: 'Takeline', title: 'This link cannot be used', facts: [], verdict: REFUSALS[reason], cautions: [] };
  }

  private standsWords(judgement: Exclude<AckJudgement, { readonly kind: 'refused' }>, acknowledged: AcknowledgedBy | undefined): string {
    const who = acknowledged === undefined ? '' : ` by ${acknowledged.by}, ${this.timeWords(acknowledged.timeMs)}`;
    switch (judgement.kind) {
      case 'waits':
        return judgement.entry.state === 'returned-unacknowledged'
          ? 'It is over, and waits for somebody to say that they have seen it.'
          : 'Nobody has acknowledged it.';
      case 'acknowledged':
        return `It was acknowledged already${who}.`;
      case 'set-aside':
        return asideWords(judgement.entry, (time) => this.timeWords(Date.parse(time)));
      case 'later':
        return `It was over and has risen anew since, ${this.timeWords(Date.parse(judgement.entry.since))}: that has a link of its own.`;
      case 'over':
        return `It is over, and was acknowledged${who}. There is nothing left to do here.`;
      case 'not-known':
        return 'How it stands now is not known: nothing is heard of the agent.';
    }
  }

  private page(grant: AckGrant, entry: StandingEntry | undefined, verdict: string): AckPage {
    const { definitions, texts } = this.alarmList;
    const key = definitions.find((one) => one.key === grant.alarm)?.key;
    const text = key === undefined ? undefined : texts[key];
    const facts = [
      { name: 'Where', text: this.placeWords(grant) },
      { name: 'Since', text: this.timeWords(grant.sinceMs) },
      ...(entry === undefined ? [] : [{ name: 'Priority', text: entry.priority }]),
      ...(entry === undefined ? [] : seenFact(entry, this.site.units)),
      ...(text === undefined ? [] : [{ name: 'If nobody acts', text: text.consequence }]),
      ...(text === undefined ? [] : [{ name: 'What to do', text: text.action }]),
    ];
    const cautions = CAUTIONS.filter((one) => ON_THE_WAY.has(one.key)).map((one) => one.text);
    return { site: this.site.name, title: text?.seen ?? grant.alarm, facts, verdict, cautions };
  }

  private placeWords({ conveyor, takeup, signal }: AckGrant): string {
    if (conveyor === undefined) return this.site.name;
    const line = this.site.conveyors.find(({ id }) => id === conveyor);
    const location = line?.takeups.find(({ id }) => id === takeup)?.location;
    return [line?.name ?? conveyor, takeup, location, signal === undefined ? undefined : `sensor ${signal}`]
      .filter((part) => part !== undefined && part !== '')
      .join(', ');
  }

  private timeWords(timeMs: number): string {
    const { date, minutes } = localTime(timeMs, this.site.timezone);
    return `${date} ${minutes}`;
  }
}

function seenFact({ value, limit, unit }: StandingEntry, units: UnitSystem): AckPage['facts'] {
  if (typeof value !== 'number') return [];
  const text = inUnits(value, unit, units) + (limit === null ? '' : `, limit ${inUnits(limit, unit, units)}`);
  return [{ name: 'Seen', text }];
}

function asideWords({ shelved, outOfService }: StandingEntry, timeWords: (time: string) => string): string {
  if (shelved !== undefined) return `${shelved.by} has shelved it until ${timeWords(shelved.until)}: ${shelved.why}`;
  if (outOfService !== undefined) return `${outOfService.by} has taken it out of service: ${outOfService.why}`;
  return 'It is suppressed by design as things are, and calls for nobody.';
}
