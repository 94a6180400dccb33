import type { Database } from 'better-sqlite3';

/** One step of the schema's history. Steps are never changed once released: a change is a new step. */
export interface Migration {
  /** The schema version that the step leads to: 1, 2, 3 … without gaps. */
  readonly version: number;
  /** What it adds or changes, in words. */
  readonly what: string;
  readonly sql: string;
}

/** The version that a list of steps leads to; 0 for an empty one. */
export function latestVersion(steps: readonly Migration[]): number {
  return steps.at(-1)?.version ?? 0;
}

/** The schema version that a file says it has; 0 for a new one. */
export function schemaVersion(db: Database): number {
  return Number(db.pragma('user_version', { simple: true }));
}

/**
 * Brings a store forward, step by step, each in a transaction of its own together with its version number: one that fails leaves the
 * store at the version before it.
 *
 * @throws Error where the steps are not numbered 1, 2, 3 …
 */
export function migrate(db: Database, steps: readonly Migration[]): void {
  steps.forEach(({ version }, index) => {
    if (version !== index + 1) throw new Error(`migration ${version} stands at place ${index + 1}`);
  });
  for (const { version, sql } of steps.slice(schemaVersion(db))) {
    db.transaction(() => {
      db.exec(sql);
      db.pragma(`user_version = ${version}`);
    }).exclusive();
  }
}
