import { progressWords } from '../logic/bench-words.js';
import { benchProblem, benchSession, benchSilence, closeBench, results } from '../state/bench.js';
import { may } from '../state/session.js';
import { BenchKeep } from './bench-keep.js';
import { BenchOpen } from './bench-open.js';
import { BenchPlayer } from './bench-player.js';
import { BenchSecond } from './bench-second.js';

/** The bench: a recording through the very pipeline that watches the plant, as slowly and as often as one likes. */
export function BenchScreen() {
  const session = benchSession.value;
  const result = results.value.a;
  if (!may('use-bench')) {
    return (
      <section class="page">
        <h1>Bench</h1>
        <p>The bench is for engineers: ask one to sign in here.</p>
      </section>
    );
  }
  return (
    <section class="page bench">
      <div class="page-head">
        <h1>Bench</h1>
        {session === undefined ? null : (
          <>
            <span class="bench-name">{session.name}</span>
            <button type="button" onClick={() => void closeBench()}>
              {session.progress.state === 'done' || session.progress.state === 'failed' ? 'Close it' : 'Cancel'}
            </button>
          </>
        )}
      </div>
      {session === undefined ? <BenchOpen /> : <Progress />}
      <p class="problem" role="alert">
        {benchProblem.value}
      </p>
      {session === undefined || result === undefined ? null : (
        <>
          <BenchPlayer result={result} />
          <BenchSecond siteText={session.siteText} />
          <BenchKeep />
        </>
      )}
    </section>
  );
}

function Progress() {
  const progress = benchSession.value?.progress;
  if (progress === undefined || progress.state === 'failed') return null;
  const busy = progress.state !== 'done';
  const words = progressWords(busy ? { ...progress, share: Math.floor(progress.share * 10) / 10 } : progress);
  return (
    <div class="bench-progress">
      <p role="status">{benchSilence.value || words}</p>
      {busy ? <progress aria-label="How far the replay is" value={progress.share} max={1} /> : null}
    </div>
  );
}
