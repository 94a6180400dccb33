import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { Type } from 'typebox';
import { Compile } from 'typebox/compile';
import { TakelineFault } from '../../../agent/process/fault.js';
import { readIfThere, writePrivately } from '../../../agent/process/private-file.js';
import type { KeptCard } from '../logic/card.js';
import { ProblemError } from '../logic/problem.js';

const SIGNED = Type.Object({ by: Type.String(), at: Type.String() });
const KEYED = Type.Record(Type.String(), Type.Unknown());
const ENTRY = Type.Object({ slot: Type.String(), id: Type.String(), entry: KEYED, state: Type.Enum(['recorded', 'refused', 'in-doubt']) });

/** What a card must be to be worked with; its sheet and figures were made by this program and are shown as they are. */
const CARD = Type.Object({
  number: Type.Integer({ minimum: 1 }),
  key: Type.String({ minLength: 1 }),
  request: Type.String(),
  conveyor: Type.String(),
  takeup: Type.String(),
  job: Type.Object({ kind: Type.Enum(['removal', 'nuts']) }),
  units: Type.Enum(['metric', 'imperial']),
  state: Type.Enum(['open', 'closed', 'dropped']),
  version: Type.Integer({ minimum: 1 }),
  made: SIGNED,
  card: Type.Object({ title: Type.String(), facts: Type.Array(Type.Unknown()), sections: Type.Array(Type.Unknown()) }),
  basis: KEYED,
  planned: KEYED,
  ticks: KEYED,
  blanks: KEYED,
  entries: Type.Array(ENTRY),
});
const FILE_CHECK = Compile(Type.Object({ version: Type.Literal(1), card: CARD }));

const FILE_NAME = /^(\d{1,9})\.json$/u;

/** The job cards, each in a file of its own below `<data>/web/cards`, written whole. */
export class Cards {
  /** Changes are made one after the other, and what is not on the disk does not count. */
  private lastChange: Promise<unknown> = Promise.resolve();

  private constructor(
    private readonly folder: string,
    private readonly cards: Map<number, KeptCard>,
  ) {}

  /**
   * @param dataDir - the data folder
   * @throws TakelineFault `card-damaged` where a file is not what it should be, `data-unreadable`
   */
  static async open(dataDir: string): Promise<Cards> {
    const folder = join(dataDir, 'web', 'cards');
    const cards = new Map<number, KeptCard>();
    for (const name of await namesIn(folder)) {
      if (!FILE_NAME.test(name)) continue;
      const path = join(folder, name);
      const card = parseCard(path, (await readIfThere(path))?.toString('utf8') ?? '');
      cards.set(card.number, card);
    }
    return new Cards(folder, cards);
  }

  /** Latest first. */
  list(): readonly KeptCard[] {
    return [...this.cards.values()].sort((a, b) => b.number - a.number);
  }

  find(number: number): KeptCard | undefined {
    return this.cards.get(number);
  }

  /**
   * Keeps a new card under the next number, unless the same person has made one under this request already, which then is the card.
   *
   * @throws ProblemError `not-kept` where the disk does not take it
   */
  add(card: Omit<KeptCard, 'number'>): Promise<KeptCard> {
    return this.inTurn(async () => {
      const same = this.list().find(({ request, made }) => request === card.request && made.by === card.made.by);
      if (same !== undefined) return same;
      const number = Math.max(0, ...this.cards.keys()) + 1;
      return this.keep({ ...card, number });
    });
  }

  /**
   * Changes a card as it is at that moment; where nothing changes nothing is written.
   *
   * @throws ProblemError `not-found`, `not-kept`; what `make` throws goes through, and nothing is changed
   */
  change(number: number, make: (card: KeptCard) => KeptCard): Promise<KeptCard> {
    return this.inTurn(async () => {
      const card = this.cards.get(number);
      if (card === undefined) throw new ProblemError('not-found', `There is no job card ${String(number)}.`);
      const changed = make(card);
      return changed === card ? card : this.keep(changed);
    });
  }

  private async keep(card: KeptCard): Promise<KeptCard> {
    try {
      await writePrivately(join(this.folder, `${String(card.number)}.json`), `${JSON.stringify({ version: 1, card }, undefined, 1)}\n`);
    } catch (error) {
      if (error instanceof TakelineFault) throw new ProblemError('not-kept', error.message);
      throw error;
    }
    this.cards.set(card.number, card);
    return card;
  }

  private inTurn<T>(work: () => Promise<T>): Promise<T> {
    const done = this.lastChange.then(work);
    this.lastChange = done.catch(() => undefined);
    return done;
  }
}

async function namesIn(folder: string): Promise<readonly string[]> {
  try {
    return await readdir(folder);
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return [];
    throw new TakelineFault('data-unreadable', `${folder} cannot be read: see that it belongs to the user who runs this.`);
  }
}

function parseCard(path: string, text: string): KeptCard {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    value = undefined;
  }
  if (!FILE_CHECK.Check(value)) {
    const remedy =
      'put a copy back in its place, or move it away: the other cards stay, and what it wrote into the service log stays there';
    throw new TakelineFault('card-damaged', `${path} is damaged: ${remedy}.`);
  }
  // The check above holds what the program goes by; the sheet itself is data to be shown.
  return value.card as unknown as KeptCard;
}
