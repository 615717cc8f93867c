// Rings for the alarms there are: what is remembered is only which somebody noted and when each was heard last.

import { SvelteSet } from 'svelte/reactivity';
import { notify, toTrouble } from '../lib/ipc';
import { alarmsOf, type Alarm, type Tone } from './alarms';
import { bench } from './bench.svelte';
import { desk } from './desk.svelte';
import { play } from './sound';

/** So long until it is heard again. */
const AGAIN_MS: Record<Tone, number> = { insistent: 3_000, repeated: 15_000, once: Infinity };
const LOUDEST: Tone[] = ['insistent', 'repeated', 'once'];

class Bell {
  readonly #noted = new SvelteSet<string>();
  readonly #heard = new Map<string, number>();
  #begun = false;

  get all(): Alarm[] {
    return desk.view?.workshop ? alarmsOf(desk.view, desk.now) : [];
  }

  isNoted(alarm: Alarm): boolean {
    return this.#noted.has(alarm.id);
  }

  /** Somebody knows. It is silent from now on, and still shown while it is so. */
  note(alarm: Alarm): void {
    this.#noted.add(alarm.id);
  }

  /** Forgets what was noted and heard. For tests. */
  reset(): void {
    this.#noted.clear();
    this.#heard.clear();
    this.#begun = false;
  }

  /** Looks at the alarms and rings, once for all of them, as the loudest asks. */
  tick(now: number): void {
    if (!desk.view) return;
    const all = this.all;
    if (!this.#begun) {
      // A cure that was over when the window came up is no news.
      all.filter(({ tone }) => tone === 'once').forEach((alarm) => this.#noted.add(alarm.id));
      this.#begun = true;
    }
    const open = all.filter((alarm) => !this.isNoted(alarm));
    const due = open.filter(({ id, tone }) => {
      const heard = this.#heard.get(id);
      return heard === undefined || now - heard >= AGAIN_MS[tone];
    });
    if (due.length === 0) return;
    const fresh = due.filter(({ id }) => !this.#heard.has(id));
    due.forEach(({ id }) => this.#heard.set(id, now));
    const loudest = LOUDEST.find((tone) => due.some((alarm) => alarm.tone === tone));
    if (bench.settings.alarmSound && loudest) play(loudest);
    if (bench.settings.notifications) fresh.forEach((alarm) => void this.#tell(alarm));
  }

  async #tell({ word, of, when }: Alarm): Promise<void> {
    try {
      await notify(`${word}.`, `${of}, ${when}.`);
      bench.unheard = null;
    } catch (thrown) {
      bench.unheard = toTrouble(thrown).message;
    }
  }
}

export const bell = new Bell();
