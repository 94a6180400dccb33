import { useEffect, useRef } from 'preact/hooks';
import { drawRunningStrip } from '../charts/running-strip.js';
import type { RunningPart } from '../logic/history-series.js';
import { runningSummary } from '../logic/history-words.js';
import type { TimeWindow } from '../logic/time-window.js';
import { themeShown } from '../state/preferences.js';

interface RunningStripProps {
  readonly parts: readonly RunningPart[];
  readonly window: TimeWindow;
  readonly plotPx: number;
}

/** When the conveyor ran, on the time axis of the charts below it. */
export function RunningStrip({ parts, window, plotPx }: RunningStripProps) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const theme = themeShown.value;
  useEffect(() => {
    if (canvas.current !== null) drawRunningStrip(canvas.current, { parts, window, plotPx });
  }, [parts, window, plotPx, theme]);
  return (
    <figure class="plot plot-running">
      <figcaption>Conveyor: filled while it ran, empty while it stood, hatched where that is not known</figcaption>
      <canvas ref={canvas} role="img" aria-label={`${runningSummary(parts, window)}; the same as a table below`} />
    </figure>
  );
}
