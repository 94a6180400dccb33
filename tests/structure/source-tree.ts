import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { ModuleKind, ScriptKind, ScriptTarget, createSourceFile, type SourceFile } from 'typescript';

export const ROOT = fileURLToPath(new URL('../..', import.meta.url)).replace(/\/$/, '');

/** A source file, parsed; its path is relative to the project, with forward slashes. */
export interface Source {
  readonly path: string;
  readonly text: string;
  readonly tree: SourceFile;
}

/** Something that breaks a rule. */
export interface Violation {
  readonly file: string;
  readonly line: number;
  /** The import, word or shape that breaks it. */
  readonly what: string;
  readonly reason: string;
}

const CODE = /\.(ts|tsx|mjs)$/;

/** What git keeps or would keep: everything that is not ignored. */
export function projectFiles(): readonly string[] {
  const listed = execFileSync('git', ['ls-files', '-z', '--cached', '--others', '--exclude-standard'], { cwd: ROOT, encoding: 'utf8' });
  // A file deleted but not yet committed is still listed.
  return [...new Set(listed.split('\0'))].filter((path) => path !== '' && existsSync(`${ROOT}/${path}`)).sort();
}

export function readText(path: string): string {
  return readFileSync(`${ROOT}/${path}`, 'utf8');
}

/** Every TypeScript and script file of the project, parsed. */
export function projectSources(): readonly Source[] {
  return projectFiles()
    .filter((path) => CODE.test(path))
    .map((path) => sourceOf(path, readText(path)));
}

/** Parses one text as if it stood at `path`: what the examples of violations are made with. */
export function sourceOf(path: string, text: string): Source {
  const kind = path.endsWith('.tsx') ? ScriptKind.TSX : path.endsWith('.mjs') ? ScriptKind.JS : ScriptKind.TS;
  const options = { languageVersion: ScriptTarget.ES2023, impliedNodeFormat: ModuleKind.ESNext } as const;
  return { path, text, tree: createSourceFile(path, text, options, true, kind) };
}

/** The line of a position, counted from 1. */
export function lineAt(source: Source, position: number): number {
  return source.tree.getLineAndCharacterOfPosition(position).line + 1;
}

/** One line a violation, as a person reads it; an empty list is what a test wants to see. */
export function report(violations: readonly Violation[]): readonly string[] {
  return violations.map(({ file, line, what, reason }) => `${file}:${line} ${what}: ${reason}`);
}
