/** The steps of the flow in the order in which a reading passes them. */
export const STEPS = ['reading', 'sample', 'position', 'service', 'takeup', 'ledger', 'trend', 'finding', 'alarm', 'page'] as const;

/** The one file of site/ that touches a disk; all others are pure. */
const SITE_READER = /^agent\/site\/read-site-file\.ts$/;

/**
 * The part of the program a file belongs to: `units`, `flow/ledger`, `flow` (what the steps share), `pipeline`,
 * `site-reader`, `broker`, `web/server` …; undefined for tests, scripts and what else is not the program.
 */
export function areaOf(path: string): string | undefined {
  if (SITE_READER.test(path)) return 'site-reader';
  const [top, second, third, ...rest] = path.split('/');
  if (top === 'broker') return 'broker';
  if (top === 'web') return `web/${second ?? ''}`;
  if (top !== 'agent' || second === undefined) return undefined;
  if (second.endsWith('.ts')) return second.replace(/\.ts$/, '');
  return second === 'flow' && rest.length > 0 ? `flow/${third ?? ''}` : second;
}

const PURE = /^agent\/(units|flow|plan|contract|simulate|site)\/|^agent\/pipeline\.ts$|^(agent|broker|web)\/(.*\/)?logic\//;

/** Whether a file may touch neither the world, nor the clock, nor chance. */
export function isPure(path: string): boolean {
  return PURE.test(path) && !SITE_READER.test(path);
}
