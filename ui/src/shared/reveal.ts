// Whatever the keyboard comes to is brought into sight: the engine itself leaves a field under the bar to
// sign, or half below the edge. CSS says how much room to leave (`scroll-padding`, `scroll-margin`).

/** Follows the focus from now on; answers with the way to stop. */
export function revealFocus(): () => void {
  const reveal = (event: FocusEvent) => {
    const { target } = event;
    if (!(target instanceof Element) || target.id === 'main') return;
    if (target.matches(':focus-visible')) target.scrollIntoView({ block: 'nearest' });
  };
  document.addEventListener('focusin', reveal);
  return () => document.removeEventListener('focusin', reveal);
}
