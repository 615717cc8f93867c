// The desk: what every screen shows of the workshop, its clock, and who is unlocked.

import type { Desk, PersonView, Trouble } from '../lib/generated/types';
import { look, toTrouble } from '../lib/ipc';
import { Loaded } from '../shared/loaded.svelte';

const BEAT_MS = 4000;

class DeskState {
  readonly #desk = new Loaded<Desk>(look);
  /** The workshop's wall clock, in milliseconds, counted on between two looks. */
  now = $state(Date.now());
  /** Counts the fetches: an open view fetches itself anew with each. */
  beat = $state(0);
  /** The dialog for unlocking is open. */
  asking = $state(false);
  /** What goes on once somebody is unlocked; empty for nothing. */
  then = $state('');
  #told: ((unlocked: boolean) => void) | null = null;
  /** What was said when a backup took the place of a damaged ledger; the screen that asked is gone then. */
  brought = $state('');
  #wall = Date.now();
  #seen = 0;

  get view(): Desk | null {
    return this.#desk.value;
  }

  get trouble(): Trouble | null {
    return this.#desk.trouble;
  }

  /** The person whose key is unlocked. */
  get active(): PersonView | null {
    const id = this.view?.active;
    return this.view?.crew.find((person) => person.id === id) ?? null;
  }

  get present(): PersonView[] {
    return this.view?.crew.filter((person) => person.present) ?? [];
  }

  get leads(): PersonView[] {
    return this.present.filter((person) => person.role === 'lead');
  }

  /** The unit that a bare diameter is taken in. */
  get inches(): boolean {
    return this.view?.workshop?.lengths === 'inch';
  }

  /** The unit that a bare place along the rod is taken in. */
  get inchesAlong(): boolean {
    return (this.view?.workshop?.units.distances ?? 'millimetre') !== 'millimetre';
  }

  /** Asks who is at the bench; true once somebody is unlocked, false if they say not now. */
  ask(then = ''): Promise<boolean> {
    this.#told?.(false);
    this.then = then;
    this.asking = true;
    return new Promise((told) => (this.#told = told));
  }

  /** The answer to it. */
  answered(unlocked: boolean): void {
    this.asking = false;
    this.then = '';
    this.#told?.(unlocked);
    this.#told = null;
  }

  async refresh(): Promise<void> {
    await this.#desk.load();
    if (!this.#desk.value || this.#desk.trouble) return;
    this.#wall = Date.parse(this.#desk.value.now);
    this.#seen = performance.now();
    this.tick();
  }

  tick(): void {
    this.now = this.#wall + (performance.now() - this.#seen);
  }

  /** Looks now and every few seconds from now on. */
  start(): () => void {
    void this.refresh();
    const second = setInterval(() => this.tick(), 1000);
    const beat = setInterval(() => {
      void this.refresh();
      this.beat += 1;
    }, BEAT_MS);
    return () => {
      clearInterval(second);
      clearInterval(beat);
    };
  }
}

export const desk = new DeskState();

const LOCKED: Trouble = {
  code: 'locked',
  message: 'Unlock first: pick your name and type your PIN. What you typed here is kept.',
  field: null,
};

/** One place on a screen from which commands go out: busy or not, and what was refused there. */
export class Action {
  busy = $state(false);
  #trouble = $state.raw<Trouble | null>(null);
  #ended: Promise<void> = Promise.resolve();
  /** To whom it was refused. */
  #whose: string | null = null;
  readonly #after: () => Promise<unknown>;

  /** `after` fetches the open view anew. */
  constructor(after: () => Promise<unknown> = async () => {}) {
    this.#after = after;
  }

  get trouble(): Trouble | null {
    if (this.#trouble?.code === LOCKED.code) return desk.active ? null : this.#trouble;
    // What one person was refused is no answer to the next.
    const other = desk.active !== null && this.#whose !== null && desk.active.id !== this.#whose;
    return other ? null : this.#trouble;
  }

  /**
   * Sends a command as the unlocked person; nobody unlocked: asks who it is. With words for what it is, it
   * goes on by itself once somebody is unlocked. That is for beginnings only: whoever unlocks signs, and what
   * says that something was done is pressed by whoever says so.
   */
  async run(work: () => Promise<unknown>, beginning?: string): Promise<boolean> {
    if (desk.view && !desk.view.active) {
      this.#trouble = LOCKED;
      const unlocked = desk.ask(beginning);
      if (beginning === undefined || !(await unlocked)) return false;
    }
    return this.runUnsigned(work);
  }

  /** Waits until what was sent from here is through, and what is shown was fetched anew. */
  async idle(): Promise<void> {
    while (this.busy) await this.#ended;
  }

  /** Sends a command that brings its own person and PIN, or needs none. */
  async runUnsigned(work: () => Promise<unknown>): Promise<boolean> {
    if (this.busy) return false;
    this.busy = true;
    let end = () => {};
    this.#ended = new Promise((ended) => (end = ended));
    try {
      await work();
      this.#trouble = null;
      return true;
    } catch (thrown) {
      this.#trouble = toTrouble(thrown);
      this.#whose = desk.view?.active ?? null;
      // The key was locked meanwhile, after a time without use.
      if (this.#trouble.code === LOCKED.code) void desk.ask();
      return false;
    } finally {
      // After a refusal too: it may have been refused because the view is out of date.
      await Promise.all([desk.refresh(), this.#after()]);
      this.busy = false;
      end();
    }
  }
}
