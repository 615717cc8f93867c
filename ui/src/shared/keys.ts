// Which keys are meant, and which elements keep the space bar for themselves.

const KEEPERS =
  'input, select, textarea, button, a[href], summary, [contenteditable], [role="button"]';
const TYPED = 'input, select, textarea, [contenteditable]';

/** Whether the element that has the focus does something of its own on Space. */
export function keepsSpace(target: EventTarget | null): boolean {
  return target instanceof Element && target.closest(KEEPERS) !== null;
}

/** Whether somebody types there. */
export function isTyped(target: EventTarget | null): boolean {
  return target instanceof Element && target.closest(TYPED) !== null;
}

/** The name under which a key is kept: `Space`, `F13`, `PageDown`. */
export const keyName = (event: KeyboardEvent): string => (event.key === ' ' ? 'Space' : event.key);

/** Whether a key alone was pressed, and this one. */
export const isKey = (event: KeyboardEvent, name: string): boolean =>
  !event.ctrlKey && !event.altKey && !event.metaKey && keyName(event) === name;

/** A key as it is called at the bench. */
export const keyWords = (name: string): string =>
  name === 'Space' ? 'the space bar' : name.replace(/^Page(Up|Down)$/, 'Page $1');
