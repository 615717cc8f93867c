// Where the keyboard begins on a screen: at the one thing that is obviously next.

import { tick } from 'svelte';
import { page } from './page.svelte';

/**
 * Follows the screens: once one has its data, its element marked `data-first` gets the focus, or the
 * screen itself. A screen that has placed the focus already keeps it.
 */
export function followFirst(): () => void {
  let last = '';
  return $effect.root(() => {
    $effect(() => {
      const key = page.loaded === null ? '' : `${page.loaded} ${page.route.key}`;
      if (key === '' || key === last) return;
      last = key;
      void tick().then(place);
    });
  });
}

function place(): void {
  const main = document.getElementById('main');
  if (!main || document.querySelector('dialog[open]')) return;
  const at = document.activeElement;
  if (at !== main && main.contains(at)) return;
  const first = main.querySelector<HTMLElement>('[data-first]') ?? main;
  // Nobody asked to be at the screen as a whole: no frame round all of it.
  main.toggleAttribute('data-quiet', first === main);
  first.focus({ preventScroll: first === main });
}
