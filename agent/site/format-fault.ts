import type { SiteFault } from './site-fault.js';

/** One line for a person: `site.yaml:12:5 conveyors[0].chain.pich_mm: there is no such key; perhaps pitch_mm was meant`. */
export function formatFault(fault: SiteFault): string {
  const place = `${fault.file}:${String(fault.line)}:${String(fault.column)}`;
  const key = fault.key === '' ? '' : ` ${fault.key}`;
  const meant = fault.meant === undefined ? '' : `; perhaps ${fault.meant} was meant`;
  return `${place}${key}: ${fault.message}${meant}`;
}
