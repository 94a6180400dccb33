import { dirname } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The project's folder, without a slash at the end. */
export const ROOT = dirname(dirname(fileURLToPath(import.meta.url)));
