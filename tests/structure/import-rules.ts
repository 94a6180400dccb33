import { STEPS, areaOf, isPure } from './areas.js';
import type { Import } from './imports.js';
import type { Violation } from './source-tree.js';

/** From where one part of the program may import. Every part may import itself. */
interface Rule {
  /** Parts whose values it may use, and so their types. */
  readonly values: readonly string[];
  /** Parts of which it may use types alone. */
  readonly types?: readonly string[];
  readonly reason: string;
}

const ALL_STEPS = STEPS.map((step) => `flow/${step}`);
/** Hands each thing on from step to step; no step of its own. */
const WAY = 'flow/way';
const BASE = ['units', 'site', 'contract', 'flow'];
const PURE_PARTS = [...BASE, ...ALL_STEPS, 'plan', 'simulate'];
const TO_THE_WORLD = ['process', 'site-reader', 'io', 'store', 'recording'];
const EDGE = {
  values: ['process', ...BASE],
  types: ALL_STEPS,
  reason: 'io, store and recording touch the world and decide nothing; they do not know one another',
};
const WIRING = [...PURE_PARTS, WAY, ...TO_THE_WORLD, 'pipeline'];

const RULES: Readonly<Record<string, Rule>> = {
  units: { values: [], reason: 'units stand at the bottom and import nothing' },
  site: { values: ['units', 'contract', 'flow', 'flow/alarm'], reason: 'the site knows quantities, topics and the table of alarms' },
  'site-reader': { values: ['site', 'units', 'process'], reason: 'the reader turns a file into a site' },
  contract: {
    values: ['units', 'site', 'flow', 'flow/alarm'],
    types: ALL_STEPS,
    reason: 'the contract describes what crosses a process border',
  },
  flow: { values: ['units', 'site', 'contract'], reason: 'what all steps share knows none of them' },
  ...Object.fromEntries(
    STEPS.map((step, index) => [
      `flow/${step}`,
      { values: [...BASE, ...ALL_STEPS.slice(0, index)], reason: `a step imports only steps to its left (${STEPS.join(', ')})` },
    ]),
  ),
  [WAY]: {
    values: [...BASE, ...ALL_STEPS],
    reason: 'the way wires the steps together, and only the map and those who read it off take it',
  },
  plan: { values: [...BASE, ...ALL_STEPS], reason: 'plans are pure and rest on what the flow gives' },
  simulate: { values: PURE_PARTS, reason: 'the simulated plant is pure' },
  pipeline: { values: [...PURE_PARTS, WAY], reason: 'the map joins pure steps and nothing else' },
  process: { values: ['units'], reason: 'the process parts know nothing of conveyors' },
  io: EDGE,
  store: EDGE,
  recording: EDGE,
  replay: { values: WIRING, reason: 'a replay joins recording, pipeline and files' },
  demo: { values: [...WIRING, 'replay', 'live'], reason: 'the demo joins site, simulated plant and store' },
  live: { values: WIRING, reason: 'the parts of the live agent join pipeline, io and store' },
  agent: { values: [...WIRING, 'live'], reason: 'the live agent joins pipeline, io and store' },
  commands: {
    values: [...WIRING, 'live', 'agent', 'replay', 'demo', 'broker', 'web/server'],
    reason: 'a command starts parts and is started by nobody but main',
  },
  main: { values: ['commands', 'process'], reason: 'the entry only finds the command' },
  broker: {
    values: ['process', 'units', 'contract/topics'],
    reason: 'the broker takes only process, units and contract/topics of the agent',
  },
  'web/server': {
    values: ['process', 'units', 'contract', 'plan'],
    types: ['site', 'flow', ...ALL_STEPS, 'store'],
    reason:
      'the web server takes process, units, contract, plan, types of site and flow, the readers of the store, and replay in its worker',
  },
  'web/client': {
    values: ['units', 'contract', 'plan'],
    types: ['site', 'flow', ...ALL_STEPS, 'web/server'],
    reason: 'the web client takes units, contract, plan, and types',
  },
};

/** Single files that may do what their part may not, each with its reason. */
const EXCEPTIONS: readonly { readonly from: RegExp; readonly to: RegExp; readonly why: string }[] = [
  {
    from: /^web\/server\//,
    to: /^agent\/store\/([a-z-]+-)?reader(-[a-z-]+)?\.ts$/,
    why: 'the web reads history through the readers of the store',
  },
  { from: /^web\/server\/([a-z-]+\/)*[a-z-]*worker\.ts$/, to: /^agent\/replay\//, why: 'the bench page replays in a worker' },
  { from: /^web\/server\/agent-silent\//, to: /^agent\/(flow\/(alarm|page)|io)\//, why: 'a silent agent cannot page: the web server does' },
];

/** Every import by which a part of the program takes what it may not take. */
export function forbiddenImports(imports: readonly Import[]): readonly Violation[] {
  return imports.flatMap((one) => {
    const reason = whyForbidden(one);
    return reason === undefined ? [] : [{ file: one.file, line: one.line, what: `imports ${one.specifier}`, reason }];
  });
}

function whyForbidden({ file, target, typeOnly }: Import): string | undefined {
  const from = areaOf(file);
  if (from === undefined || target === undefined) return undefined;
  const rule = RULES[from];
  if (!rule) return `${from} is not a part of the program that the rules know: enter it in tests/structure/import-rules.ts`;
  const to = areaOf(target);
  if (to === undefined) return 'the program imports neither tests nor scripts';
  if (EXCEPTIONS.some((exception) => exception.from.test(file) && exception.to.test(target))) return undefined;
  if (!mayTake(rule, from, to, target, typeOnly)) return rule.reason;
  if (isPure(file) && !isPure(target) && !typeOnly) return 'a pure part imports only pure parts';
  return undefined;
}

function mayTake(rule: Rule, from: string, to: string, target: string, typeOnly: boolean): boolean {
  if (from === to || rule.values.includes(to)) return true;
  if (
    rule.values.some(
      (part) => part.includes('/') && target.startsWith(`agent/${part}`) && /^[./]/.test(target.slice(`agent/${part}`.length)),
    )
  )
    return true;
  return typeOnly && (rule.types ?? []).includes(to);
}
