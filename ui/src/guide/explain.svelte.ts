// Whether the sheet that explains a screen is open, and which one it explains.

import { desk } from '../domain/desk.svelte';
import { page } from '../shared/page.svelte';
import type { Explainable } from './explained';

class Explain {
  open = $state(false);

  /** What is on the window: a screen with an address, or what stands in its place. */
  get about(): Explainable {
    const view = desk.view;
    if (desk.asking) return 'unlock';
    if (!view?.workshop) return view?.readOnly || view?.health.fault ? 'unopened' : 'first-run';
    // On other screens the strip in the header leads to the ledger.
    if (view.health.fault && page.route.name === 'ledger') return 'damaged';
    return page.route.name;
  }
}

export const explain = new Explain();
