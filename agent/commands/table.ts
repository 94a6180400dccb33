import { agentCommand } from './agent.js';
import { brokerCommand } from './broker.js';
import { backupCommand } from './backup.js';
import { checkCommand } from './check.js';
import type { Command } from './command.js';
import { fixtureCommand } from './fixture.js';
import { exportCommand } from './export.js';
import { importCommand } from './import.js';
import { pageCommand } from './page.js';
import { planCommand } from './plan.js';
import { recordCommand } from './record.js';
import { replayCommand } from './replay.js';
import { restoreCommand } from './restore.js';
import { simulateCommand } from './simulate.js';
import { upCommand } from './up.js';
import { webCommand } from './web.js';

/** Every command, in the order in which `takeline --help` lists them. */
export const COMMANDS: readonly Command[] = Object.freeze([
  upCommand,
  brokerCommand,
  agentCommand,
  webCommand,
  checkCommand,
  replayCommand,
  planCommand,
  pageCommand,
  recordCommand,
  exportCommand,
  backupCommand,
  restoreCommand,
  simulateCommand,
  fixtureCommand,
  importCommand,
]);
