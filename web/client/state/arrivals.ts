/**
 * Within so long after it came everything is handed on. Two hundred take-ups come in one message, and drawing those in view takes several
 * frames' worth of time: spread over this long, no single frame waits for all of it.
 */
const SPREAD_MS = 150;
/** At which a screen draws; one that is slower hands on the more at the end. */
const FRAME_MS = 1000 / 60;

/** Something to draw, under a name of its own: what comes again before it was drawn takes the place of what waits. */
type Draw = () => void;

const waiting = new Map<string, Draw>();
let dueMs = 0;
let asked = false;

/** Draws soon, a share with each frame; at once where nobody looks, since a hidden page gets no frames. */
export function drawSoon(name: string, draw: Draw): void {
  if (document.hidden) {
    waiting.delete(name);
    draw();
    return;
  }
  if (waiting.size === 0) dueMs = performance.now() + SPREAD_MS;
  waiting.set(name, draw);
  if (asked) return;
  asked = true;
  requestAnimationFrame(drawShare);
}

/** Forgets what waits. */
export function forgetWaiting(): void {
  waiting.clear();
}

function drawShare(frameMs: number): void {
  const left = dueMs - frameMs;
  let share = left <= FRAME_MS ? waiting.size : Math.ceil((waiting.size * FRAME_MS) / left);
  for (const [name, draw] of waiting) {
    if (share <= 0) break;
    share -= 1;
    waiting.delete(name);
    draw();
  }
  asked = waiting.size > 0;
  if (asked) requestAnimationFrame(drawShare);
}

// What waited for a frame when the page was hidden would otherwise wait until somebody looks again.
document.addEventListener('visibilitychange', () => {
  if (document.hidden) for (const draw of [...waiting.values()]) draw();
  if (document.hidden) waiting.clear();
});
