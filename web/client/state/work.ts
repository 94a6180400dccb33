import { computed, signal, type Signal } from '@preact/signals';
import type { CorrectionRequest, EntryRequest, FindingRequest } from '../../server/logic/work-answers.js';
import { ask } from './api.js';

/** How often findings or the log of a conveyor were told to have changed: whoever shows them asks again. */
const told = new Map<string, Signal<number>>();
const toldOfAny = signal(0);

/** The same for whoever shows work of the whole site. */
export const anyWorkTold = computed(() => toldOfAny.value);

export function workTold(conveyor: string): Signal<number> {
  let times = told.get(conveyor);
  if (times === undefined) {
    times = signal(0);
    told.set(conveyor, times);
  }
  return times;
}

/** Findings or the log of a conveyor have changed. */
export function tellWork(conveyor: string): void {
  workTold(conveyor).value += 1;
  toldOfAny.value += 1;
}

/** Anything may have changed, as after a break. */
export function tellAllWork(): void {
  for (const times of told.values()) times.value += 1;
  toldOfAny.value += 1;
}

/** A name for one thing that a person does: sent again, as by a second click, it is done once. */
export function newRequest(): string {
  // `randomUUID` is there only where the page came over a safe line; a plant's own network may not be one.
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}

/** @throws ApiProblem where the agent does not take it */
export async function recordEntry(body: EntryRequest, conveyor: string): Promise<void> {
  await ask('POST', '/api/entries', body);
  tellWork(conveyor);
}

/** @throws ApiProblem where the finding is not open any more, or the agent does not take it */
export async function judgeFinding(verdict: 'confirm' | 'reject', body: FindingRequest): Promise<void> {
  try {
    await ask('POST', `/api/findings/${verdict}`, body);
  } finally {
    // Also where it was refused: somebody else was quicker.
    tellWork(body.conveyor);
  }
}

/** @throws ApiProblem where the entry is not there, or the agent does not take the correction */
export async function correctEntry(body: CorrectionRequest, conveyor: string): Promise<void> {
  await ask('POST', '/api/entries/correct', body);
  tellWork(conveyor);
}
