import { agentCommand } from './agent.js';
import { checkCommand } from './check.js';
import type { Command } from './command.js';
import { recordCommand } from './record.js';
import { replayCommand } from './replay.js';

/** Every command, in the order in which `takeline --help` lists them. */
export const COMMANDS: readonly Command[] = Object.freeze([agentCommand, checkCommand, replayCommand, recordCommand]);
