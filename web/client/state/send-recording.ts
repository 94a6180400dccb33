import { signal } from '@preact/signals';
import type { UploadAnswer } from '../../server/bench/bench-answers.js';
import type { Problem } from '../../server/logic/problem.js';
import { ApiProblem } from './api.js';

/** What the server takes in at most. */
const MOST_BYTES = 2 * 1024 ** 3;

/** The recording that is being sent: how much of it is, 0 … 1, and what gives it up. */
export const sending = signal<{ readonly share: number; readonly cancel: () => void } | undefined>(undefined);

/** Sends a file in, unread. @returns what the server knows it by @throws ApiProblem in words for a person */
export async function sendRecording(file: File): Promise<string> {
  if (file.size === 0) throw new ApiProblem(0, `${file.name} is empty: there is nothing in it to replay.`);
  if (file.size > MOST_BYTES) throw new ApiProblem(0, `${file.name} is larger than 2 GB; pack it, or take a shorter one.`);
  const request = new XMLHttpRequest();
  request.open('POST', `/api/bench/recordings?name=${encodeURIComponent(file.name)}`);
  request.setRequestHeader('content-type', 'application/octet-stream');
  const cancel = (): void => {
    request.abort();
  };
  sending.value = { share: 0, cancel };
  request.upload.addEventListener('progress', ({ loaded, total }) => {
    sending.value = { share: total > 0 ? loaded / total : 0, cancel };
  });
  try {
    await new Promise<void>((resolve, reject) => {
      request.addEventListener('load', () => {
        resolve();
      });
      request.addEventListener('abort', () => {
        reject(new ApiProblem(0, 'It was not sent: you cancelled it.'));
      });
      request.addEventListener('error', () => {
        reject(new ApiProblem(0, 'The recording did not arrive: the line was cut, or the server has no room for it. Try again.'));
      });
      request.send(file);
    });
  } finally {
    sending.value = undefined;
  }
  const json = request.getResponseHeader('content-type')?.includes('json') === true;
  if (!json) throw new ApiProblem(request.status, `The server answered ${request.status}.`);
  const answer = JSON.parse(request.responseText) as UploadAnswer | Problem;
  if ('upload' in answer) return answer.upload;
  throw new ApiProblem(request.status, `${answer.title}. ${answer.detail}`);
}
