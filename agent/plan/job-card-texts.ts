import type { BlankKey, SectionKey, StepKey } from './job-card.js';

/** Every text of the job card in one table; `{name}` is a figure of the plan. */

export const SECTION_HEADINGS: Readonly<Record<SectionKey, string>> = {
  cautions: 'Before anything else',
  job: 'The job',
  'lock-out': 'Lock out and tag out',
  found: 'Found',
  'stored-energy': 'Stored energy',
  'hot-work': 'Hot work, if a pin must be ground or cut',
  steps: 'Steps',
  restart: 'Before the start',
  check: 'After the start',
  done: 'Done',
};

export const STEP_TEXTS: Readonly<Record<StepKey, string>> = {
  prepare: 'Tell everyone whom the stop concerns. Know every source of energy of this conveyor: drive, springs, chain on slopes.',
  'shut-down': 'Stop the conveyor in the usual way.',
  isolate: 'Isolate the drive, and all else that can move or heat this stretch.',
  'lock-and-tag': 'Everyone who works on it hangs a lock and a tag of their own.',
  verify: 'Try to start it, see that it stays still, and put the switch back to off.',
  'release-springs':
    'Back off both adjusting nuts, a little on one side and a little on the other, until the springs are free with the carriage drawn in: about {releaseLeft} turns left, {releaseRight} turns right. With the nuts left where they are the coils touch after {toSolid} of draw-in.',
  'release-springs-by-eye':
    'Back off both adjusting nuts, a little on one side and a little on the other, until the springs are free with the carriage drawn in. With the nuts left where they are the coils touch after {toSolid} of draw-in.',
  'springs-under-load':
    'The springs stay under load while the nuts are turned: stand clear of the rod ends, keep each nut well on its thread, and block the carriage where hands go near it.',
  'block-others':
    'Before the carriage is drawn in, run the restraint nuts in at {others} too: its springs would take up the chain that is let loose.',
  'block-carriage': 'Run the restraint nuts in against the carriage, so that it can move neither way.',
  'secure-chain': 'Hold the chain on both sides of the joint, above all on a slope, so that no end can run away.',
  'clear-fire-load': 'Clear away or cover what burns, paint and its vapours first; have an extinguisher at hand.',
  'fire-watch':
    'Keep a fire watch within 35 ft (11 m) while sparks fly and at least half an hour afterwards, longer where local rules say so.',
  'open-service': 'Open a service on take-up {takeup} in Takeline, so that its alarms rest.',
  measure: 'Measure and write down under "Found": the carriage on both sides from the inner stop, both spring lengths.',
  'mark-stretch': 'Mark {pitches} ({nominal} as new, {length} worn as it is) to come out. Count twice.',
  'draw-in':
    'Draw the carriage in by {drawIn}: {forChain} for the chain that comes out, {forSlack} to handle the ends{forStretch}. It can come in by {available}.',
  'take-carriers-off': 'Take off {carriers} beside the mark: {gap} is left between the carriers on either side, {least} is the least.',
  'part-at-joints': 'Part the chain at both marks.',
  'part-at-connectors': 'Part the chain at both marks: connectors stand at both ends.',
  'part-with-pin':
    'Part the chain at the connector; at the other end a pin must come out that is not made to. Press it out; grinding it is hot work.',
  'take-out': 'Take out {pitches}. Count the piece before the chain is closed, and keep it.',
  join: 'Close the chain, secure every pin, and see that the joint bends freely and lies the right way round.',
  unblock: 'Take the holds off the chain and run the restraint nuts out again, clear of the whole travel of the carriage.',
  'unblock-others': 'Run the restraint nuts out again at {others} too.',
  'set-springs':
    'Tighten both adjusting nuts a little in turn until the springs are {springLeft} long left and {springRight} right, which is a strand tension of {tension}. The carriage will stand at about {after} when the conveyor runs.',
  'set-springs-only':
    'Turn both adjusting nuts a little in turn until the springs are {springLeft} long left and {springRight} right, which is a strand tension of {tension}.',
  'turn-left': 'Left nut: {turnsLeft}, counted from where it stood at the beginning.',
  'turn-right': 'Right nut: {turnsRight}, counted from where it stood at the beginning.',
  'lock-nuts': 'Lock the adjusting nuts.',
  'restraint-nuts-out': 'Restraint nuts are run out again on both rods: run in, they hold the carriage and the springs do nothing.',
  'tools-out': 'Tools, holds and old links are out of the track.',
  'guards-back': 'Guards are back.',
  'people-clear': 'Everyone is clear and has been told.',
  unlock: 'Everyone takes their own lock and tag off.',
  'watch-a-round':
    'Watch the joint through a whole round: through every curve, over the drive, past the take-up. Stop at the first strange noise.',
  'rock-check':
    'While it is still locked out: rock the chain by hand just after the drive, where it is slack. Is there more play than there was?',
  'settled-check':
    'An hour after the restart the carriage should have settled at about {after}. Each pitch more or less than planned is {perPitch} of carriage: if it stands elsewhere, check the count.',
  record: 'Close the card: what was found and done goes into the service log, and the service is closed.',
};

export const BLANK_LABELS: Readonly<Record<BlankKey, string>> = {
  'locked-by': 'Locked by',
  'locked-at': 'at',
  'verified-by': 'Tried and found still by',
  permit: 'Hot-work permit',
  'fire-watch-by': 'Fire watch by, until',
  'found-position-left': 'Carriage, left',
  'found-position-right': 'Carriage, right',
  'found-spring-left': 'Spring, left',
  'found-spring-right': 'Spring, right',
  'found-note': 'Seen or heard',
  'done-pitches': 'Pitches taken out',
  'done-carriers': 'Carriers taken off',
  'done-turns-left': 'Left nut, turns (+ tightened, − backed off)',
  'done-turns-right': 'Right nut, turns (+ tightened, − backed off)',
  'done-spring-left': 'Spring, left',
  'done-spring-right': 'Spring, right',
  'done-restraint-nuts': 'Restraint nuts (out / in)',
  'done-rock': 'Rock of the chain (ok / excessive)',
  'done-lubricated': 'Chain lubricated (yes / no)',
  'done-noise': 'Noise',
  'done-filings': 'Filings',
  'done-settled': 'Settled after an hour',
  'done-note': 'Notes',
  'done-by': 'Done by',
  'done-at': 'at',
  'unlocked-by': 'Locks off, seen by',
};

/** A text with its figures in place. A figure that the text asks for and nobody gives is a fault of ours. */
export function filledText(text: string, figures: Readonly<Record<string, string>>): string {
  return text.replace(/\{([a-zA-Z]+)\}/gu, (_, name: string) => {
    const figure = figures[name];
    if (figure === undefined) throw new Error(`the job card has no figure ${name}`);
    return figure;
  });
}
