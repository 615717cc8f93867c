// The routes: which screen the address names.

export type RouteName =
  | 'rack'
  | 'new'
  | 'rod'
  | 'layout'
  | 'walk'
  | 'air'
  | 'material'
  | 'crew'
  | 'lots'
  | 'checklists'
  | 'ledger'
  | 'print'
  | 'bench'
  | 'guide';

export interface Route {
  name: RouteName;
  /** The parts after the name, decoded. */
  args: string[];
  /** Two routes with the same key are the same screen of the same thing. */
  key: string;
}

const NEEDS: Record<RouteName, number> = {
  rack: 0,
  new: 0,
  crew: 0,
  lots: 0,
  checklists: 0,
  material: 0,
  ledger: 0,
  bench: 0,
  rod: 1,
  layout: 1,
  air: 1,
  print: 1,
  guide: 1,
  walk: 2,
};

/** Reads an address such as `#/walk/ROD/STAGE`. Whatever it can't read is the rack. */
export function parseRoute(hash: string): Route {
  const words = hash.replace(/^#\/?/, '').split('/').filter(Boolean).map(decode);
  const name = (words[0] ?? 'rack') as RouteName;
  const need = Object.hasOwn(NEEDS, name) ? NEEDS[name] : Infinity;
  if (words.length - 1 < need) return { name: 'rack', args: [], key: 'rack' };
  const args = words.slice(1);
  return { name, args, key: [name, ...args.slice(0, need)].join('/') };
}

function decode(word: string): string {
  try {
    return decodeURIComponent(word);
  } catch {
    return word;
  }
}

/** Addresses. */
export const to = {
  rack: '#/',
  new: '#/new',
  crew: '#/crew',
  lots: '#/lots',
  checklists: '#/checklists',
  material: '#/material',
  ledger: '#/ledger',
  bench: '#/bench',
  rod: (id: string, stage?: string) =>
    `#/rod/${encodeURIComponent(id)}${stage ? `/${encodeURIComponent(stage)}` : ''}`,
  layout: (id: string) => `#/layout/${encodeURIComponent(id)}`,
  walk: (id: string, stage: string) =>
    `#/walk/${encodeURIComponent(id)}/${encodeURIComponent(stage)}`,
  /** With the address of the rod or the step that waits for this station, to come back to. */
  air: (station: string, back?: string) =>
    `#/air/${encodeURIComponent(station)}${back ? `/${encodeURIComponent(back)}` : ''}`,
  print: (id: string) => `#/print/${encodeURIComponent(id)}`,
  guide: (number: 1 | 2) => `#/guide/${number}`,
};

class Page {
  route = $state.raw<Route>(parseRoute(''));
  /** The screen whose data is there; shown as `data-view`. */
  loaded = $state<string | null>(null);
  /** A way off the screen that waits until the screen has asked whether something may be lost. */
  wanted = $state.raw<(() => void) | null>(null);
  #unsaved: (() => boolean) | null = null;
  #hash = '';

  /** From now on no way leads off the screen while something is unsaved, unless it was asked about. */
  hold(unsaved: () => boolean): () => void {
    this.#unsaved = unsaved;
    return () => {
      if (this.#unsaved !== unsaved) return;
      this.#unsaved = null;
      this.wanted = null;
    };
  }

  /** Goes a way off the screen: at once, or after the screen has asked. */
  leave(way: () => void): void {
    if (this.#unsaved?.()) this.wanted = way;
    else way();
  }

  /** Goes the way that waits, once nothing is unsaved any more. */
  goOn(): void {
    const way = this.wanted;
    this.wanted = null;
    way?.();
  }

  /** Follows the address from now on. */
  start(): () => void {
    const follow = () => {
      const hash = location.hash;
      const next = parseRoute(hash);
      if (next.key !== this.route.key && this.#unsaved?.()) {
        // The address is put back: the screen stays until it was asked.
        history.replaceState(null, '', this.#hash || to.rack);
        this.wanted = () => this.go(hash);
        return;
      }
      this.#hash = hash;
      if (next.key !== this.route.key) {
        this.loaded = null;
        window.scrollTo(0, 0);
      }
      this.route = next;
    };
    follow();
    window.addEventListener('hashchange', follow);
    return () => window.removeEventListener('hashchange', follow);
  }

  go(hash: string): void {
    location.hash = hash;
  }
}

export const page = new Page();
