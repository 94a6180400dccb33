import { readFile } from 'node:fs/promises';
import { figuresOr } from '../plan/known-figures.js';
import { reversingDrawInMm } from '../plan/loop-of-takeup.js';
import { readSummary, summaryFaultSentence } from '../plan/read-summary.js';
import { removalLines } from '../plan/removal-lines.js';
import { planRemoval } from '../plan/removal-plan.js';
import { referenceTensionN } from '../plan/side-springs.js';
import { type GivenFigures, stateFaultSentence, takeupState } from '../plan/takeup-state.js';
import { TakelineFault } from '../process/fault.js';
import { formatFault } from '../site/format-fault.js';
import { nearMiss } from '../site/near-miss.js';
import { readSiteFile } from '../site/read-site-file.js';
import type { Conveyor, Site, Takeup } from '../site/site.js';
import type { Command, CommandIo } from './command.js';
import { type PlanAsked, parsePlanOptions } from './plan-options.js';

const USAGE = `takeline plan SITE --conveyor ID --takeup ID --position MM --elongation PCT [options]
takeline plan SITE --conveyor ID --takeup ID --summary FILE [options]

sets the removals of chain that a take-up allows side by side, and recommends one
  SITE                  the site file
  --conveyor ID         may be left out where the site has one conveyor
  --takeup ID           may be left out where the conveyor has one take-up
  --summary FILE        a replay's summary.json, from which the state is taken; what is given beside it goes before it
  --position MM         settled position of the carriage from the inner stop
  --elongation PCT      elongation of the chain
  --pitches N           pitches in the circuit; default: as the site file says
  --spring-left MM      length of the springs; default: as the nuts are set in the site file
  --spring-right MM
  --travel-per-day MM   outward travel a day by wear; without it no days are told
  --breathing MM        range of the carriage's normal to-and-fro; default 0
  --cold MM             how far the carriage comes in when the chain is coldest; default: back to its reference temperature
  --target-tension N    strand tension to set the springs to; default: that of the reference
  --slack MM            loose chain to handle the ends with; default: one pitch
  --keep-carriers       no carrier may come off
  --json                the whole plan as JSON, in mm and N

exit code: 0 planned (even where no removal can be made), 1 bad input, 2 wrong usage`;

/** `takeline plan`: what may be taken out of a chain, side by side. */
export const planCommand: Command = { usage: USAGE, run };

async function run(args: readonly string[], io: CommandIo): Promise<number> {
  const asked = parsePlanOptions(args);
  if (asked === 'help') return print(io, USAGE.split('\n'));
  if ('wrong' in asked) {
    io.err(`takeline plan: ${asked.wrong}`);
    io.err('usage: takeline plan SITE --conveyor ID --takeup ID --position MM --elongation PCT (see takeline plan --help)');
    return 2;
  }
  try {
    return await plan(asked, io);
  } catch (error) {
    if (!(error instanceof TakelineFault)) throw error;
    io.err(error.message);
    return error.exitCode;
  }
}

async function plan(asked: PlanAsked, io: CommandIo): Promise<number> {
  const reading = await readSiteFile(asked.site);
  if (!reading.ok) {
    for (const fault of reading.faults) io.err(formatFault(fault));
    return 1;
  }
  const { site } = reading;
  const conveyor = named(site.conveyors, asked.conveyor, 'conveyor');
  const takeup = named(conveyor.takeups, asked.takeup, 'take-up');
  const known = asked.summary === undefined ? {} : await figuresFrom(asked.summary, site, conveyor, takeup);
  const state = takeupState(conveyor, takeup, figuresOr(asked.figures, known));
  if (!state.ok) {
    for (const fault of state.faults)
      io.err(`${asked.summary ?? asked.site}: ${stateFaultSentence(fault, site.units).replaceAll('\u00a0', ' ')}`);
    return 1;
  }
  const targetTensionN = asked.wish.targetTensionN ?? referenceTensionN(takeup);
  const removal = planRemoval(conveyor, takeup, state.state, {
    ...asked.wish,
    reversingDrawInMm: reversingDrawInMm(conveyor, takeup, state.state.sides, targetTensionN),
  });
  const { assumed } = state.state;
  if (asked.json) {
    const whole = { site: site.id, conveyor: conveyor.id, takeup: takeup.id, assumed, plan: removal };
    return print(io, JSON.stringify(whole, rounded, 2).split('\n'));
  }
  return print(io, [`${conveyor.name}, take-up ${takeup.id} (${takeup.location})`, ...removalLines(removal, assumed, site.units)]);
}

async function figuresFrom(path: string, site: Site, conveyor: Conveyor, takeup: Takeup): Promise<GivenFigures> {
  const refuse = (why: string): TakelineFault => new TakelineFault('summary-unreadable', `${path}: ${why}`);
  let text: string;
  try {
    text = await readFile(path, 'utf8');
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? String(error.code) : String(error);
    throw refuse(code === 'ENOENT' ? 'there is no such file; give the summary.json of a replay' : `the file cannot be read (${code})`);
  }
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch {
    throw refuse('this is not JSON; give the summary.json of a replay');
  }
  const summary = readSummary(json, site.id, conveyor.id, takeup.id);
  if (!summary.ok) throw refuse(summaryFaultSentence(summary.fault));
  return summary.figures;
}

/** The one that is meant: by its id, or the only one there is. */
function named<T extends { readonly id: string }>(all: readonly T[], id: string | undefined, what: string): T {
  const ids = all.map((one) => one.id);
  const [only] = all;
  if (id === undefined) {
    if (only !== undefined && all.length === 1) return only;
    throw new TakelineFault('which-one', `which ${what}? give --${what.replace('-', '')} with one of ${ids.join(', ')}`);
  }
  const found = all.find((one) => one.id === id);
  if (found !== undefined) return found;
  const meant = nearMiss(id, ids);
  throw new TakelineFault(
    'no-such-one',
    `there is no ${what} ${id}${meant === undefined ? `; there are ${ids.join(', ')}` : `; perhaps ${meant} was meant`}`,
  );
}

/** To a thousandth of a micrometre: what lies behind that is the arithmetic's, not the chain's. */
function rounded(_: string, value: unknown): unknown {
  return typeof value === 'number' && Number.isFinite(value) ? Number(value.toFixed(6)) : value;
}

function print(io: CommandIo, lines: readonly string[]): number {
  for (const line of lines) io.out(line);
  return 0;
}
