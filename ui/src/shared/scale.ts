// How large the page is drawn: larger on a larger screen, so that a step is read from where one stands,
// and larger still by Ctrl and plus. Everything grows together: type, targets, gaps, drawings.

/** The window that the screens are laid out for. */
const ROOM = { wide: 1280, high: 900 };
/** On a larger screen still the rest stays free. */
const MOST = 2.4;
const STEPS = [1, 1.25, 1.5, 1.75, 2, 2.5, 3];

/** How many times as large the page is drawn in a window of so many pixels. */
export function timesFor(wide: number, high: number): number {
  const times = Math.min(wide / ROOM.wide, high / ROOM.high, MOST);
  return Math.max(1, Math.floor(times * 20) / 20);
}

/** The next larger or smaller step, or the same at the end. */
export function nextStep(own: number, by: 1 | -1): number {
  const at = STEPS.findIndex((step) => step >= own);
  return STEPS[(at < 0 ? STEPS.length - 1 : at) + by] ?? own;
}

/** Draws the page by the window's size and the keys from now on; answers with the way to stop. */
export function followScale(draw: (times: number) => Promise<unknown>): () => void {
  let own = 1;
  let drawn = 1;
  const follow = () => {
    // The outer size: the inner one is counted in what is drawn larger.
    const times = timesFor(window.outerWidth, window.outerHeight) * own;
    if (times === drawn) return;
    drawn = times;
    // Not drawn in another size is still drawn.
    draw(times).catch(() => undefined);
  };
  const key = (event: KeyboardEvent) => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
    if (event.key === '+' || event.key === '=') own = nextStep(own, 1);
    else if (event.key === '-') own = nextStep(own, -1);
    else if (event.key === '0') own = 1;
    else return;
    event.preventDefault();
    follow();
  };
  follow();
  window.addEventListener('resize', follow);
  window.addEventListener('keydown', key);
  return () => {
    window.removeEventListener('resize', follow);
    window.removeEventListener('keydown', key);
  };
}
