import { Transform } from 'node:stream';
import { hasRoom } from '../../../agent/process/disk-room.js';
import { ProblemError } from '../logic/problem.js';

/** A year of two sensors once a second, packed. */
export const MOST_UPLOAD_BYTES = 2 * 1024 ** 3;
/** The disk is looked at every so many bytes. */
const LOOK_EVERY_BYTES = 16 * 1024 ** 2;

/** Lets a recording through as long as it is not too large, and leaves room on the disk to who writes the live history. */
export function limitedUpload(folder: string, most = MOST_UPLOAD_BYTES): Transform {
  let bytes = 0;
  let lookAt = 0;
  return new Transform({
    transform(chunk: Buffer, _encoding, done) {
      bytes += chunk.length;
      if (bytes > most) {
        const words = `A recording may take ${String(most / 1024 ** 3)} GB at most; pack it, or take a shorter one.`;
        done(new ProblemError('bench-refused', words));
        return;
      }
      if (bytes > lookAt) {
        lookAt = bytes + LOOK_EVERY_BYTES;
        if (!hasRoom(folder)) {
          done(new ProblemError('bench-refused', 'The disk of the server is nearly full, so no recording is taken in; make room there.'));
          return;
        }
      }
      done(null, chunk);
    },
  });
}
