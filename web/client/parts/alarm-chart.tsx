import { useEffect, useRef } from 'preact/hooks';
import type { AlarmBar } from '../charts/alarm-charts.js';
import { themeShown } from '../state/preferences.js';

interface AlarmChartProps {
  readonly label: string;
  readonly bars: readonly AlarmBar[];
  readonly limit?: number;
}

/** Alarms and what stood through time, drawn; whoever uses it gives the same as a table. */
export function AlarmChart({ label, bars, limit }: AlarmChartProps) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const theme = themeShown.value;
  useEffect(() => {
    let drawn: { destroy: () => void } | undefined;
    let wanted = true;
    void import('../charts/alarm-charts.js').then(({ drawAlarms }) => {
      if (wanted && canvas.current !== null) drawn = drawAlarms(canvas.current, bars, limit === undefined ? {} : { limit });
    });
    return () => {
      wanted = false;
      drawn?.destroy();
    };
  }, [bars, limit, theme]);
  return (
    <figure class="alarm-chart">
      <div class="chart">
        <canvas ref={canvas} role="img" aria-label={`${label}; the same as a table below`} />
      </div>
      <figcaption class="note">Bars: alarms that came. Line: alarms that stood at the end of each.</figcaption>
    </figure>
  );
}
