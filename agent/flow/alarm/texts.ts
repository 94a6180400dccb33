import type { AlarmKey } from '../alarm-key.js';

/** What an alarm tells a person, and how long there is to respond. */
export interface AlarmText {
  readonly seen: string;
  readonly consequence: string;
  readonly action: string;
  readonly respondWithinMin: number;
}

const LOCK_OUT = 'Lock out and tag out, and block the springs and chain, before opening anything.';

/** The words of every alarm. */
export const ALARM_TEXTS: Readonly<Record<AlarmKey, AlarmText>> = Object.freeze({
  'stroke-low': {
    seen: 'Little travel is left before the outer stop.',
    consequence: 'The carriage will reach its outer stop and the chain will run slack.',
    action: 'Plan to take out chain; the Take-up page says by when.',
    respondWithinMin: 24 * 60,
  },
  'stroke-end': {
    seen: 'The carriage is almost at its outer stop.',
    consequence: 'With no travel left the springs no longer hold the chain taut: it turns in its track and is pushed into the drive.',
    action: `Take out chain at the next stop. ${LOCK_OUT}`,
    respondWithinMin: 120,
  },
  'stroke-date': {
    seen: 'The travel may be used up within the planning time.',
    consequence: 'A shortening that is not planned becomes a stop that is not planned.',
    action: 'Put a shortening into the plan for the next stop.',
    respondWithinMin: 7 * 24 * 60,
  },
  'spring-near-solid': {
    seen: 'A spring is compressed to within its least coil clearance.',
    consequence: 'The coils are about to touch; then every pull goes straight into chain and drive.',
    action: `Find what pulled the carriage in: load, a caught chain, or nuts set too far. ${LOCK_OUT}`,
    respondWithinMin: 30,
  },
  'spring-solid': {
    seen: 'A spring is wound solid: its coils touch.',
    consequence: 'The spring no longer limits the tension; chain, pins and drive take the whole pull.',
    action: `Stop by the site's own procedure and look for a caught or overloaded chain. ${LOCK_OUT}`,
    respondWithinMin: 5,
  },
  'spring-slack': {
    seen: 'A spring is nearly free.',
    consequence: 'The chain runs slack, turns in its track and is pushed into the drive.',
    action: `Re-tension: turn the adjusting nuts at the next stop. ${LOCK_OUT}`,
    respondWithinMin: 8 * 60,
  },
  'tension-low': {
    seen: 'The strand tension is below the least that the chain needs.',
    consequence: 'The chain runs slack, turns in its track and is pushed into the drive.',
    action: `Re-tension at the next stop. ${LOCK_OUT}`,
    respondWithinMin: 8 * 60,
  },
  'tension-high': {
    seen: 'The strand tension is above the most that the chain should bear.',
    consequence: 'Chain, curves and drive wear for nothing.',
    action: `Slacken the adjusting nuts at the next stop, and see what draws the carriage in. ${LOCK_OUT}`,
    respondWithinMin: 8 * 60,
  },
  'carriage-skew': {
    seen: 'One side of the carriage is ahead of the other.',
    consequence: 'The carriage binds in its guides and the chain runs off its line.',
    action: `Compare the nuts, rods and guides of the two sides. ${LOCK_OUT}`,
    respondWithinMin: 24 * 60,
  },
  'carriage-stuck': {
    seen: 'The carriage hardly moves though the conveyor runs.',
    consequence: 'A carriage that cannot move takes up no chain and gives no way to a pull.',
    action: `See whether the guides are seized or the restraint nuts were left run in. ${LOCK_OUT}`,
    respondWithinMin: 24 * 60,
  },
  'carriage-jump': {
    seen: 'The carriage moved suddenly while the conveyor was running, and stayed there.',
    consequence: 'Inwards: the chain may be caught or overloaded. Outwards: it may be slack, broken or parted.',
    action: `Look at the take-up and along the chain. ${LOCK_OUT}`,
    respondWithinMin: 10,
  },
  'change-unrecorded': {
    seen: 'The carriage stands elsewhere since a stop, and nobody wrote down why.',
    consequence: 'Elongation and dates are provisional until the change is explained.',
    action: 'Confirm or reject what the finding suggests, or record what was done.',
    respondWithinMin: 24 * 60,
  },
  'wear-fast': {
    seen: 'The chain has been wearing faster over the last weeks than before.',
    consequence: 'Travel and chain are used up sooner than planned.',
    action: 'Look at lubrication, load, and dirt or heat at the chain.',
    respondWithinMin: 7 * 24 * 60,
  },
  'wear-limit-near': {
    seen: 'The chain is close to its wear limit.',
    consequence: 'A chain past its limit rides up on the sprocket teeth and may part.',
    action: 'Plan to replace the chain rather than to shorten it again.',
    respondWithinMin: 7 * 24 * 60,
  },
  'wear-limit': {
    seen: 'The chain has reached its wear limit.',
    consequence: 'A chain past its limit rides up on the sprocket teeth and may part.',
    action: 'Replace the chain; do not shorten it again.',
    respondWithinMin: 24 * 60,
  },
  'slack-date': {
    seen: 'The springs may be nearly free within the planning time.',
    consequence: 'A chain whose springs relax unnoticed runs slack.',
    action: 'Put a re-tensioning into the plan for the next stop.',
    respondWithinMin: 3 * 24 * 60,
  },
  'signal-lost': {
    seen: 'No reading comes from this sensor.',
    consequence: 'What it feeds is unknown; a limit crossed now would not be seen.',
    action: 'Look at the sensor, its cable, its supply and the network.',
    respondWithinMin: 60,
  },
  'signal-fault': {
    seen: 'The sensor gives readings that cannot be right.',
    consequence: 'What it feeds is unknown; a limit crossed now would not be seen.',
    action: 'Look at the sensor, its cable and its calibration.',
    respondWithinMin: 60,
  },
  'signal-doubtful': {
    seen: 'The sensor reads flat, or far noisier than it used to.',
    consequence: 'Figures and alarms may rest on a reading that is not so.',
    action: 'Compare the sensor with a rule at the carriage.',
    respondWithinMin: 24 * 60,
  },
  'page-unanswered': {
    seen: 'Nobody has answered the page about an alarm here.',
    consequence: 'The alarm stands, and nobody is known to be on the way.',
    action: 'Call somebody by telephone, and acknowledge the alarm that the page is about.',
    respondWithinMin: 5,
  },
  'agent-silent': {
    seen: 'The agent that watches the take-ups does not answer.',
    consequence: 'Nothing is watched until it runs again.',
    action: 'Look at the machine the agent runs on, and at the broker.',
    respondWithinMin: 15,
  },
});
