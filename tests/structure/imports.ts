import { posix } from 'node:path';
import {
  type Node,
  forEachChild,
  isCallExpression,
  isExportDeclaration,
  isIdentifier,
  isImportDeclaration,
  isImportTypeNode,
  isLiteralTypeNode,
  isNewExpression,
  isStringLiteralLike,
  SyntaxKind,
} from 'typescript';
import { type Source, lineAt } from './source-tree.js';

/** One way in which a file takes something from another. */
export interface Import {
  readonly file: string;
  readonly line: number;
  /** As written. */
  readonly specifier: string;
  /** For a file of the project: its path relative to the project. */
  readonly target?: string;
  /** For an outside package: its name without what is taken from inside it. */
  readonly packageName?: string;
  /** Leaves no trace when the program runs. */
  readonly typeOnly: boolean;
}

/** Static, dynamic, type, re-exporting and worker imports of a file. */
export function importsOf(source: Source): readonly Import[] {
  const found: Import[] = [];
  const take = (node: Node, specifier: string, typeOnly: boolean): void => {
    found.push({ file: source.path, line: lineAt(source, node.getStart()), specifier, typeOnly, ...pointAt(source.path, specifier) });
  };
  const visit = (node: Node): void => {
    if (isImportDeclaration(node) && isStringLiteralLike(node.moduleSpecifier)) {
      take(node, node.moduleSpecifier.text, isTypeImport(node));
    } else if (isExportDeclaration(node) && node.moduleSpecifier && isStringLiteralLike(node.moduleSpecifier)) {
      take(node, node.moduleSpecifier.text, node.isTypeOnly);
    } else if (isImportTypeNode(node) && isLiteralTypeNode(node.argument) && isStringLiteralLike(node.argument.literal)) {
      take(node, node.argument.literal.text, true);
    } else {
      const specifier = runTimeSpecifier(node);
      if (specifier !== undefined) take(node, specifier, false);
    }
    forEachChild(node, visit);
  };
  visit(source.tree);
  return found;
}

function isTypeImport(node: Node): boolean {
  if (!isImportDeclaration(node)) return false;
  return node.importClause?.phaseModifier === SyntaxKind.TypeKeyword;
}

/** `import('…')`, `require('…')` and the file of a worker: `new URL('./…', import.meta.url)`. */
function runTimeSpecifier(node: Node): string | undefined {
  if (isCallExpression(node)) {
    const [first] = node.arguments;
    const loads =
      node.expression.kind === SyntaxKind.ImportKeyword || (isIdentifier(node.expression) && node.expression.text === 'require');
    return loads && first && isStringLiteralLike(first) ? first.text : undefined;
  }
  if (isNewExpression(node) && isIdentifier(node.expression) && node.expression.text === 'URL') {
    const [first] = node.arguments ?? [];
    return first && isStringLiteralLike(first) && /^\.{1,2}\/.*\.js$/.test(first.text) ? first.text : undefined;
  }
  return undefined;
}

function pointAt(file: string, specifier: string): Pick<Import, 'target' | 'packageName'> {
  if (specifier.startsWith('.')) {
    return { target: posix.join(posix.dirname(file), specifier).replace(/\.js$/, '.ts') };
  }
  if (specifier.startsWith('node:')) return {};
  const parts = specifier.split('/');
  return { packageName: parts.slice(0, specifier.startsWith('@') ? 2 : 1).join('/') };
}
