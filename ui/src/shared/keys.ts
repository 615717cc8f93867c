// Which elements keep the space bar for themselves.

const KEEPERS =
  'input, select, textarea, button, a[href], summary, [contenteditable], [role="button"]';

/** Whether the element that has the focus does something of its own on Space. */
export function keepsSpace(target: EventTarget | null): boolean {
  return target instanceof Element && target.closest(KEEPERS) !== null;
}
