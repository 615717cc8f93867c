// Something fetched from the shell, fetched anew when asked to.

import type { Trouble } from '../lib/generated/types';
import { toTrouble } from '../lib/ipc';

export class Loaded<T> {
  value = $state.raw<T | null>(null);
  trouble = $state.raw<Trouble | null>(null);
  #turn = 0;
  #newest: Promise<void> = Promise.resolve();
  readonly #fetch: () => Promise<T>;

  constructor(fetch: () => Promise<T>) {
    this.#fetch = fetch;
  }

  /** Fetches anew. An answer that was overtaken by a later one is dropped, and the later one waited for. */
  async load(): Promise<void> {
    let waited = (this.#newest = this.#once(++this.#turn));
    await waited;
    while (waited !== this.#newest) await (waited = this.#newest);
  }

  async #once(turn: number): Promise<void> {
    try {
      const value = await this.#fetch();
      if (turn !== this.#turn) return;
      this.value = value;
      this.trouble = null;
    } catch (thrown) {
      if (turn === this.#turn) this.trouble = toTrouble(thrown);
    }
  }
}
