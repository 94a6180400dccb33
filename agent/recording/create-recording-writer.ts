import { ParquetRecordingWriter } from './parquet-recording-writer.js';
import type { RecordingWriter } from './recording-writer.js';
import { TextRecordingWriter } from './text-recording-writer.js';

/**
 * Begins a recording at `path`: Parquet or gzip where its name ends in `.parquet` or `.gz`, CSV otherwise. The same rows
 * give the same file, byte for byte.
 *
 * @throws TakelineFault where the place cannot be written to
 */
export function createRecordingWriter(path: string): Promise<RecordingWriter> {
  const name = path.toLowerCase();
  if (name.endsWith('.parquet')) return ParquetRecordingWriter.create(path);
  return TextRecordingWriter.create(path, name.endsWith('.gz'));
}
