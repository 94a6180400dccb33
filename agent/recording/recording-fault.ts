import { TakelineFault } from '../process/fault.js';
import { sayWhy } from '../process/say-why.js';

/** What a recording is, said where a file is not one. */
const SHAPE = 'a recording is a table with the columns time,signal,value as CSV, .csv.gz or Parquet';

/** Every way in which a file as a whole cannot be read as a recording; single rows are rejected instead. */
export type RecordingFaultCode =
  | 'recording-missing'
  | 'recording-unreadable'
  | 'recording-empty'
  | 'recording-no-header'
  | 'recording-no-rows'
  | 'recording-truncated'
  | 'recording-not-gzip'
  | 'recording-not-parquet'
  | 'recording-columns'
  | 'recording-disk-full'
  | 'recording-not-written';

const SENTENCES: Readonly<Record<RecordingFaultCode, (path: string, detail: string) => string>> = {
  'recording-missing': (path) => `${path}: there is no such file; check the name and the folder`,
  'recording-unreadable': (path, detail) => `${path}: the file cannot be read (${detail}); check its permissions and the disk`,
  'recording-empty': (path) => `${path}: the file is empty; ${SHAPE}`,
  'recording-no-header': (path, detail) => `${path}: ${detail}; the first line of a CSV recording must name the columns: time,signal,value`,
  'recording-no-rows': (path) => `${path}: the file has a header and no rows; record again, or check that the export ran to its end`,
  'recording-truncated': (path) => `${path}: the gzip file ends too early; copy or record it again`,
  'recording-not-gzip': (path, detail) =>
    `${path}: the gzip data is damaged or no gzip at all (${detail}); copy it again, or name it .csv if it is plain`,
  'recording-not-parquet': (path, detail) => `${path}: this is no readable Parquet file (${detail}); copy or export it again`,
  'recording-columns': (path, detail) => `${path}: ${detail}; ${SHAPE}`,
  'recording-disk-full': (path) => `${path}: the disk is full and nothing was kept; make room or choose another place with --out`,
  'recording-not-written': (path, detail) =>
    `${path}: the file cannot be written (${detail}); check the folder, its permissions and the disk`,
};

/** The fault for a recording at `path`, as one line that says what to do. */
export function recordingFault(code: RecordingFaultCode, path: string, detail = ''): TakelineFault {
  return new TakelineFault(code, SENTENCES[code](path, oneLine(detail)));
}

/** DuckDB gives its errors no code and begins their message with their kind. */
const DUCKDB_ERROR = /^(IO|Out of Memory|Permission|Serialization|Internal|Fatal) Error:/i;

/** What reading `path` failed with, as a fault. Faults pass as they are; so do errors of our own code. */
export function readFault(path: string, error: unknown): unknown {
  const code = errorCode(error);
  if (code === 'ENOENT' || code === 'ENOTDIR') return recordingFault('recording-missing', path);
  if (code === 'Z_BUF_ERROR') return recordingFault('recording-truncated', path);
  if (code?.startsWith('Z_')) return recordingFault('recording-not-gzip', path, messageOf(error));
  if (code !== undefined && /^E[A-Z0-9]+$/.test(code)) return recordingFault('recording-unreadable', path, sayWhy(error));
  return error;
}

/** What writing `path` failed with, as a fault. Errors of our own code pass as they are. */
export function writeFault(path: string, error: unknown): unknown {
  if (error instanceof TakelineFault) return error;
  const code = errorCode(error);
  const message = messageOf(error);
  if (code === 'ENOSPC' || code === 'EDQUOT' || /no space left|disk quota/i.test(message))
    return recordingFault('recording-disk-full', path);
  const ofTheWorld = code === undefined ? DUCKDB_ERROR.test(message) : !code.startsWith('ERR_');
  if (ofTheWorld) return recordingFault('recording-not-written', path, sayWhy(error));
  return error;
}

/** The message of an error whatever was thrown. */
export function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}

function errorCode(error: unknown): string | undefined {
  return error instanceof Error && 'code' in error && typeof error.code === 'string' ? error.code : undefined;
}

function oneLine(text: string): string {
  const line = text.replaceAll(/\s+/g, ' ').trim();
  return line.length > 200 ? `${line.slice(0, 200)} …` : line;
}
