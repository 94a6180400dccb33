import { readRequest } from '../contract/requests.js';
import type { Pipeline } from '../pipeline.js';
import type { Clock } from '../process/clock.js';
import type { Log } from '../process/log.js';
import type { Keeper } from './keeper.js';
import type { Publisher } from './publisher.js';
import { readVerb } from './requests.js';
import type { SetUpDesk } from './set-up-desk.js';

export interface RequestClocks {
  /** The machine's clock. */
  readonly wall: Clock;
  /** The data's own time, on which what is asked for takes place. */
  readonly data: Clock;
}

/** Takes requests and answers each: what is asked for is in the journal before it is confirmed. */
export class RequestDesk {
  private taking: Promise<void> = Promise.resolve();

  /** @param known - ids of inputs that are in the journal, so that a repeated delivery is not judged as if it were news */
  constructor(
    private readonly pipeline: Pipeline,
    private readonly keeper: Keeper,
    private readonly publisher: Publisher,
    private readonly clocks: RequestClocks,
    private readonly log: Log,
    private readonly known: Set<string>,
    private readonly setUp?: SetUpDesk,
  ) {}

  /** One request after the other: what one asks for is judged when the one before it is done. @param verb - what stands behind `do/` */
  take(verb: string, payload: string): Promise<void> {
    const taken = this.taking.then(() => this.one(verb, payload));
    this.taking = taken.catch(() => undefined);
    return taken;
  }

  private async one(verb: string, payload: string): Promise<void> {
    const read = readRequest(payload);
    if (!read.ok) {
      this.log.warn(`a request to ${verb} was refused: ${read.message}`);
      if (read.request !== undefined) this.publisher.answer(read.request, false, read.message);
      return;
    }
    if (this.setUp?.takes(verb) === true) {
      await this.setUp.take(verb, read.request);
      return;
    }
    const { request } = read.request;
    const asked = readVerb(
      this.pipeline,
      verb,
      read.request,
      { wallMs: this.clocks.wall.nowMs(), dataMs: this.clocks.data.nowMs() },
      this.known,
    );
    if (!asked.ok) {
      this.publisher.answer(request, false, asked.message);
      return;
    }
    const outcome = await this.keeper.enter(asked.input);
    if (outcome === 'id-taken') {
      this.publisher.answer(request, false, 'another one has that id already: give this one its own');
      return;
    }
    this.known.add(asked.input.kind === 'service' ? asked.input.entry.id : asked.input.id);
    this.publisher.answer(request, true, asked.done);
  }
}
