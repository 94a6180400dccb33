import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { NOTHING, joinHistory, type HistoryRow, type HistoryStretch } from '../logic/history-series.js';
import { widthOf, type TimeWindow } from '../logic/time-window.js';
import { heardRow, loadHistory } from './history.js';
import { nowMs, pictures, takeupNow } from './live.js';
import { isSignedOut, me, wordsOf } from './session.js';

/** Whoever drags a window waits this long for what is not there yet, so that a drag asks once. */
const SETTLED_MS = 150;
/** What is asked for reaches beyond the window by this share of it on both sides: a small move needs nothing new. */
const BESIDE = 0.5;
/** So many live values are kept: two an second for an hour and a half. */
const MOST_HEARD = 10_800;
/** So long without a live value is a gap. */
const SILENCE_MS = 30_000;
/** What the store has is asked for again so often while the present is shown: it has a row a minute. */
const AGAIN_MS = 60_000;
const SOON_MS = 10_000;

export interface ShownHistory {
  readonly stretch: HistoryStretch;
  /** Why there is no more of it, in words; empty where all went well. */
  readonly problem: string;
  readonly asking: boolean;
  readonly again: () => void;
}

/** What is known of a take-up over a window: from the store, and of the last minutes as it was heard. */
export function useHistory(conveyor: string, takeup: string, path: string, window: TimeWindow, plotPx: number): ShownHistory {
  const [stored, setStored] = useState<HistoryStretch>(NOTHING);
  const [problem, setProblem] = useState('');
  const [asking, setAsking] = useState(false);
  const [times, setTimes] = useState(0);
  const asked = useRef<(TimeWindow & { readonly widthMs: number; readonly atMs: number }) | undefined>(undefined);
  const heard = useHeard(conveyor, takeup);

  const turn = useRef(0);
  // After a break the store has what was not heard.
  const whole = useRef(pictures.value);
  if (whole.current !== pictures.value) {
    whole.current = pictures.value;
    asked.current = undefined;
  }
  const [due, points] = [isDue(window, asked.current), Math.round(plotPx * (1 + 2 * BESIDE))];
  useEffect(() => {
    if (!due || plotPx === 0) return undefined;
    const beside = BESIDE * widthOf(window);
    const wide = { fromMs: window.fromMs - beside, toMs: window.toMs + beside };
    const timer = setTimeout(() => {
      asked.current = { ...wide, widthMs: widthOf(window), atMs: nowMs.peek() };
      turn.current += 1;
      const mine = turn.current;
      loadHistory(path, wide, points).then(
        (stretch) => {
          // An answer that another question has overtaken is of another window.
          if (mine !== turn.current) return;
          setStored(stretch);
          setProblem('');
          setAsking(false);
        },
        (error: unknown) => {
          if (isSignedOut(error)) me.value = null;
          else if (mine === turn.current) {
            setProblem(wordsOf(error));
            setAsking(false);
          }
        },
      );
    }, SETTLED_MS);
    return () => clearTimeout(timer);
  }, [path, window.fromMs, window.toMs, points, due, times]);

  const stretch = useMemo(() => joinHistory(stored, heard.rows, SILENCE_MS), [stored, heard.count]);
  const again = (): void => {
    asked.current = undefined;
    setAsking(true);
    setTimes((before) => before + 1);
  };
  return { stretch, problem, asking, again };
}

/** Whether the store must be asked: for another width, for what lies beside what was asked for, or for the last minute. */
function isDue(window: TimeWindow, asked: (TimeWindow & { readonly widthMs: number; readonly atMs: number }) | undefined): boolean {
  if (asked === undefined || Math.abs(widthOf(window) / asked.widthMs - 1) > 0.02) return true;
  if (window.fromMs < asked.fromMs || window.toMs > asked.toMs) return true;
  return window.toMs > asked.atMs && nowMs.peek() - asked.atMs > againMs(asked.widthMs);
}

/** A short window is drawn from the readings, which come by the second. */
function againMs(widthMs: number): number {
  return Math.max(Math.min(AGAIN_MS, Math.max(SOON_MS, widthMs / 60)), widthMs / 500);
}

/** The live values of a take-up since its page was opened. */
function useHeard(conveyor: string, takeup: string): { readonly rows: readonly HistoryRow[]; readonly count: number } {
  const rows = useRef<HistoryRow[]>([]);
  const now = takeupNow(conveyor, takeup).value;
  const row = now === undefined ? undefined : heardRow(now);
  const last = rows.current.at(-1);
  if (row !== undefined && (last === undefined || row.timeMs > last.timeMs)) {
    rows.current.push(row);
    if (rows.current.length > MOST_HEARD) rows.current.splice(0, MOST_HEARD / 10);
  }
  return { rows: rows.current, count: rows.current.at(-1)?.timeMs ?? 0 };
}
