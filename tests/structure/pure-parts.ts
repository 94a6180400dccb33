import { builtinModules } from 'node:module';
import {
  type Identifier,
  type Node,
  forEachChild,
  isBindingElement,
  isCallExpression,
  isFunctionDeclaration,
  isIdentifier,
  isImportClause,
  isImportSpecifier,
  isNamespaceImport,
  isNewExpression,
  isParameter,
  isPartOfTypeNode,
  isPropertyAccessExpression,
  isVariableDeclaration,
} from 'typescript';
import { isPure } from './areas.js';
import { importsOf } from './imports.js';
import { type Source, type Violation, lineAt } from './source-tree.js';

/** Names that reach the world, the clock or chance without an import. */
const AMBIENT: ReadonlySet<string> = new Set([
  ...[
    'setTimeout',
    'setInterval',
    'setImmediate',
    'clearTimeout',
    'clearInterval',
    'clearImmediate',
    'queueMicrotask',
    'requestAnimationFrame',
  ],
  ...[
    'fetch',
    'XMLHttpRequest',
    'WebSocket',
    'EventSource',
    'process',
    'console',
    'performance',
    'crypto',
    'global',
    'globalThis',
    'require',
  ],
  ...['window', 'document', 'navigator', 'localStorage', 'sessionStorage', 'indexedDB', 'alert'],
]);

const BUILTINS: ReadonlySet<string> = new Set(builtinModules);

/** Every place where a pure part touches the world, the clock or chance. */
export function impurities(sources: readonly Source[]): readonly Violation[] {
  return sources.filter(({ path }) => isPure(path)).flatMap((source) => [...builtinImports(source), ...ambientUses(source)]);
}

function builtinImports(source: Source): readonly Violation[] {
  return importsOf(source)
    .filter(({ specifier, packageName }) => specifier.startsWith('node:') || BUILTINS.has(packageName ?? ''))
    .map(({ file, line, specifier }) => ({ file, line, what: `imports ${specifier}`, reason: 'a pure part uses nothing of Node' }));
}

function ambientUses(source: Source): readonly Violation[] {
  const own = declaredNames(source.tree);
  const found: Violation[] = [];
  const visit = (node: Node): void => {
    const what = ambientUse(node, own);
    if (what !== undefined) {
      found.push({
        file: source.path,
        line: lineAt(source, node.getStart()),
        what: `uses ${what}`,
        reason: 'clock, chance and world are handed in',
      });
    }
    forEachChild(node, visit);
  };
  visit(source.tree);
  return found;
}

function ambientUse(node: Node, own: ReadonlySet<string>): string | undefined {
  if (isPropertyAccessExpression(node) && isIdentifier(node.expression)) {
    const use = `${node.expression.text}.${node.name.text}`;
    if (use === 'Date.now' || use === 'Math.random') return use;
  }
  if (isNewExpression(node) && isNamed(node.expression, 'Date') && (node.arguments ?? []).length === 0) return 'new Date() without a time';
  if (isCallExpression(node) && isNamed(node.expression, 'Date')) return 'Date()';
  if (isIdentifier(node) && AMBIENT.has(node.text) && !own.has(node.text) && standsForItself(node)) return node.text;
  return undefined;
}

function isNamed(node: Node, name: string): boolean {
  return isIdentifier(node) && node.text === name;
}

/** Not the name of a member, as in `x.process` or `{ process: 1 }`, nor a word in a type. */
function standsForItself(node: Identifier): boolean {
  const { parent } = node;
  if (isPropertyAccessExpression(parent)) return parent.expression === node;
  if (isPartOfTypeNode(node)) return false;
  const isMemberName = 'name' in parent && parent.name === node;
  return !isMemberName;
}

/** What the file itself calls so is not the ambient thing. */
function declaredNames(tree: Node): ReadonlySet<string> {
  const names = new Set<string>();
  const visit = (node: Node): void => {
    const declares =
      isVariableDeclaration(node) ||
      isParameter(node) ||
      isBindingElement(node) ||
      isFunctionDeclaration(node) ||
      isImportClause(node) ||
      isImportSpecifier(node) ||
      isNamespaceImport(node);
    if (declares && node.name && isIdentifier(node.name) && !isInTypeSignature(node)) names.add(node.name.text);
    forEachChild(node, visit);
  };
  visit(tree);
  return names;
}

/** The parameter of a function type names nothing. */
function isInTypeSignature(node: Node): boolean {
  return isParameter(node) && isPartOfTypeNode(node.parent);
}
