import {
  isExportAssignment,
  isExportDeclaration,
  isImportDeclaration,
  isVariableStatement,
  type Statement,
  SyntaxKind,
  canHaveModifiers,
  getModifiers,
} from 'typescript';
import { type Source, type Violation, lineAt } from './source-tree.js';

const LONGEST = 300;
/** Tools look for a default export in these. */
const TOOL_CONFIGURATION = /(^|\/)(\.[a-z-]+(\.config)?\.mjs|[a-z]+\.config\.ts)$/;

/** Files that say nothing themselves and only pass on what others export. */
export function barrels(sources: readonly Source[]): readonly Violation[] {
  return sources.flatMap((source) => {
    const { path, tree } = source;
    const passedOn = tree.statements.filter((statement) => isExportDeclaration(statement) && statement.moduleSpecifier !== undefined);
    const everything = passedOn.find((statement) => isExportDeclaration(statement) && statement.exportClause === undefined);
    const own = tree.statements.filter((statement) => !isImportDeclaration(statement) && !isExportDeclaration(statement));
    const reason = 'import from the module that has it: a barrel hides where things come from and what depends on what';
    const [first] = passedOn;
    if (everything)
      return [{ file: path, line: lineAt(source, everything.getStart()), what: 'passes on everything of another file', reason }];
    if (first && (own.length === 0 || /(^|\/)index\.tsx?$/.test(path))) {
      return [{ file: path, line: lineAt(source, first.getStart()), what: 'passes on what others export', reason }];
    }
    return [];
  });
}

/** Exports without a name. */
export function defaultExports(sources: readonly Source[]): readonly Violation[] {
  return sources
    .filter(({ path }) => !TOOL_CONFIGURATION.test(path))
    .flatMap((source) =>
      source.tree.statements.filter(isDefaultExport).map((statement) => ({
        file: source.path,
        line: lineAt(source, statement.getStart()),
        what: 'exports by default',
        reason: 'a default export has no name to search for',
      })),
    );
}

function isDefaultExport(statement: Statement): boolean {
  if (isExportAssignment(statement)) return true;
  if (isExportDeclaration(statement)) return /\bas\s+default\b/.test(statement.getText());
  if (isVariableStatement(statement) || !canHaveModifiers(statement)) return false;
  return (getModifiers(statement) ?? []).some(({ kind }) => kind === SyntaxKind.DefaultKeyword);
}

/** Files that have grown past what one sitting can hold. */
export function overlongFiles(sources: readonly Source[]): readonly Violation[] {
  return sources.flatMap(({ path, text }) => {
    const lines = text.replace(/\n$/, '').split('\n').length;
    if (lines <= LONGEST) return [];
    return [{ file: path, line: LONGEST, what: `has ${lines} lines`, reason: `a source file has at most ${LONGEST}: ask what it hides` }];
  });
}
