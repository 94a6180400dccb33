import {
  type CallExpression,
  type Node,
  forEachChild,
  isCallExpression,
  isFunctionDeclaration,
  isIdentifier,
  isPropertyAccessExpression,
  isVariableDeclaration,
} from 'typescript';
import { importsOf } from './imports.js';
import { type Source, type Violation, lineAt } from './source-tree.js';

const TEST_FILE = /\.test\.tsx?$/;
const NOT_RUN: ReadonlySet<string> = new Set(['skip', 'skipIf', 'runIf', 'only', 'todo', 'fails']);
const ASSERTION = /^(expect|assert|fc\.assert|check|verify)/;
/** These wait for real brokers, servers and browsers. */
const OF_THE_WORLD = /^tests\/(integration|browser)\//;

/** Tests that do not run, prove nothing, wait for a clock or are named by a number. */
export function unsoundTests(sources: readonly Source[]): readonly Violation[] {
  return sources
    .filter(({ path }) => path.startsWith('tests/'))
    .flatMap((source) => [
      ...sleeping(source),
      ...(TEST_FILE.test(source.path) ? [...numbered(source), ...notRun(source), ...assertingNothing(source)] : []),
    ]);
}

function numbered({ path }: Source): readonly Violation[] {
  const named = !/(^|\/)(tests?|cases?|spec|part)?[-_]?\d+\.test\.tsx?$/.test(path);
  return named ? [] : [{ file: path, line: 1, what: 'is named by a number', reason: 'a test file is named after what it tests' }];
}

function notRun(source: Source): readonly Violation[] {
  return calls(source.tree)
    .filter(
      ({ expression }) =>
        isPropertyAccessExpression(expression) && NOT_RUN.has(expression.name.text) && /^(it|test|describe)\b/.test(expression.getText()),
    )
    .map((call) => ({
      file: source.path,
      line: lineAt(source, call.getStart()),
      what: call.expression.getText(),
      reason: 'every test runs, everywhere: one that does not proves nothing',
    }));
}

function assertingNothing(source: Source): readonly Violation[] {
  const helpers = assertingHelpers(source.tree);
  return calls(source.tree)
    .filter((call) => /^(it|test)(\.(each|for|concurrent|sequential)\b.*)?$/s.test(call.expression.getText()) && call.arguments.length >= 2)
    .filter((call) => !asserts(call, helpers))
    .map((call) => ({
      file: source.path,
      line: lineAt(source, call.getStart()),
      what: call.arguments[0]?.getText() ?? '',
      reason: 'asserts nothing',
    }));
}

function sleeping(source: Source): readonly Violation[] {
  if (OF_THE_WORLD.test(source.path)) return [];
  const reason = 'a test hands in the clock, it does not sleep';
  const timers = importsOf(source).filter(({ specifier }) => specifier === 'node:timers/promises');
  const waits = calls(source.tree).filter(({ expression }) => expression.getText() === 'setTimeout');
  return [
    ...timers.map(({ line, specifier }) => ({ file: source.path, line, what: `imports ${specifier}`, reason })),
    ...waits.map((call) => ({ file: source.path, line: lineAt(source, call.getStart()), what: 'setTimeout', reason })),
  ];
}

/** Functions of the file that assert for the tests that call them. */
function assertingHelpers(tree: Node): ReadonlySet<string> {
  const helpers = new Set<string>();
  const visit = (node: Node): void => {
    if ((isFunctionDeclaration(node) || isVariableDeclaration(node)) && node.name && isIdentifier(node.name) && asserts(node, helpers))
      helpers.add(node.name.text);
    forEachChild(node, visit);
  };
  visit(tree);
  return helpers;
}

function asserts(node: Node, helpers: ReadonlySet<string>): boolean {
  return calls(node).some(
    ({ expression }) => ASSERTION.test(expression.getText()) || (isIdentifier(expression) && helpers.has(expression.text)),
  );
}

function calls(tree: Node): readonly CallExpression[] {
  const found: CallExpression[] = [];
  const visit = (node: Node): void => {
    if (isCallExpression(node)) found.push(node);
    forEachChild(node, visit);
  };
  visit(tree);
  return found;
}
