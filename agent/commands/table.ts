import type { CommandRow } from './command.js';

/** Every command, in the order in which `takeline --help` lists them. Each is loaded when it is called: a start waits for no other. */
export const COMMANDS: readonly CommandRow[] = Object.freeze([
  { name: 'up', summary: 'runs broker, agent and web in one process', load: async () => (await import('./up.js')).upCommand },
  {
    name: 'broker',
    summary: 'runs the MQTT broker alone: sensors, agent and web meet there',
    load: async () => (await import('./broker.js')).brokerCommand,
  },
  {
    name: 'agent',
    summary: 'runs the agent alone: readings in, state and alarms out',
    load: async () => (await import('./agent.js')).agentCommand,
  },
  { name: 'web', summary: 'serves the screens alone', load: async () => (await import('./web.js')).webCommand },
  {
    name: 'check',
    summary: 'validates a site file and prints what it would watch',
    load: async () => (await import('./check.js')).checkCommand,
  },
  {
    name: 'replay',
    summary: 'runs a recording through the pipeline and writes what it finds',
    load: async () => (await import('./replay.js')).replayCommand,
  },
  { name: 'plan', summary: 'plans how much chain to take out at a take-up', load: async () => (await import('./plan.js')).planCommand },
  {
    name: 'page',
    summary: 'sends a test page to everybody, or lists the last pages',
    load: async () => (await import('./page.js')).pageCommand,
  },
  { name: 'record', summary: 'writes live readings to a recording', load: async () => (await import('./record.js')).recordCommand },
  {
    name: 'export',
    summary: 'writes raw readings from the store to a recording',
    load: async () => (await import('./export.js')).exportCommand,
  },
  {
    name: 'backup',
    summary: 'copies the history into one file while the agent runs',
    load: async () => (await import('./backup.js')).backupCommand,
  },
  {
    name: 'restore',
    summary: 'puts a copy of the history into an empty data folder',
    load: async () => (await import('./restore.js')).restoreCommand,
  },
  {
    name: 'simulate',
    summary: 'writes a recording of a simulated plant, with the truth beside it',
    load: async () => (await import('./simulate.js')).simulateCommand,
  },
  {
    name: 'fixture',
    summary: 'keeps a stretch of a recording as a test, or checks those kept',
    load: async () => (await import('./fixture.js')).fixtureCommand,
  },
  {
    name: 'import',
    summary: "turns a recording in somebody else's form into ours",
    load: async () => (await import('./import.js')).importCommand,
  },
]);
