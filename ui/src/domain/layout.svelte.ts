// The layout as it is being made: the draft, what the shell says of it, and the guides while they move.

import type {
  BentView,
  GuideDraft,
  LayoutDraft,
  LayoutView,
  SpacingDraft,
  Trouble,
} from '../lib/generated/types';
import * as ipc from '../lib/ipc';
import { Newest } from '../shared/newest';
import { placeText, roomOf } from './bent';
import { desk } from './desk.svelte';

const WAIT_MS = 250;
/** Where the first guide of a bare blank is put, as a share of its length from the tip. */
const FIRST_SHARE = 0.45;

export class LayoutWork {
  draft = $state<LayoutDraft | null>(null);
  view = $state.raw<LayoutView | null>(null);
  /** The last curve there was: it stays on the sheet while a field is at fault. */
  bent = $state.raw<BentView | null>(null);
  trouble = $state.raw<Trouble | null>(null);
  /** What spacing or moving them came to. */
  told = $state('');
  spacing = $state<SpacingDraft>({ count: '', first: '', tipGap: '', spool: '' });
  /** Guides moved since the curve was drawn: their places in mm from the tip. */
  #moved = $state<Record<number, number>>({});
  #read = $state('');
  #wait: ReturnType<typeof setTimeout> | undefined;
  readonly #trying: Newest<LayoutDraft, LayoutView>;
  readonly rod: string;

  constructor(rod: string) {
    this.rod = rod;
    this.#trying = new Newest(
      (draft: LayoutDraft) => ipc.tryLayout(rod, draft),
      (view, asked) => {
        // A draft that was replaced meanwhile is not gone back to.
        const newest = JSON.stringify(asked) === JSON.stringify(this.draft);
        if (newest || !this.#trying.idle) this.#take(view);
      },
      (thrown) => (this.trouble = ipc.toTrouble(thrown)),
    );
  }

  /** The draft as plain data, to be sent. */
  get plain(): LayoutDraft {
    return $state.snapshot(this.draft) as LayoutDraft;
  }
  /** Something was changed that the shell has not yet answered to. */
  get ahead(): boolean {
    return this.draft !== null && JSON.stringify(this.draft) !== JSON.stringify(this.view?.draft);
  }
  /** Something was changed since it was read or kept. */
  get touched(): boolean {
    return JSON.stringify(this.draft) !== this.#read;
  }
  get kept(): boolean {
    return Boolean(this.view?.kept) && !this.ahead;
  }
  /** What is on the sheet is of an earlier draft. */
  get stale(): boolean {
    return this.bent !== null && this.view?.bent === null;
  }
  get faults(): Record<string, string> {
    const byField: Record<string, string> = {};
    for (const { field, message } of this.view?.troubles ?? [])
      if (field !== null) byField[field] ??= message;
    return byField;
  }

  /** Reads what is kept, or a beginning; what was changed and not kept is gone then. */
  async load(): Promise<void> {
    try {
      const view = await ipc.layout(this.rod);
      this.#read = JSON.stringify(view.draft);
      this.told = '';
      this.#begin(view);
    } catch (thrown) {
      this.trouble = ipc.toTrouble(thrown);
    }
  }
  #begin(view: LayoutView): void {
    clearTimeout(this.#wait);
    this.draft = structuredClone(view.draft);
    this.#moved = {};
    this.#take(view);
  }
  #take(view: LayoutView): void {
    this.view = view;
    this.trouble = null;
    if (!view.bent) return;
    this.bent = view.bent;
    if (this.#trying.idle) this.#moved = {};
  }

  /** The draft was changed: it is worked out at once. */
  changed(): void {
    clearTimeout(this.#wait);
    this.told = '';
    this.#trying.put(this.plain);
  }
  /** Something is being typed: it is worked out when the hands pause. */
  typed(): void {
    clearTimeout(this.#wait);
    this.#wait = setTimeout(() => {
      if (this.ahead) this.changed();
    }, WAIT_MS);
  }
  stop(): void {
    clearTimeout(this.#wait);
    this.#trying.stop();
  }

  /** Places of the guides in mm from the tip, in the order of the draft; null where unknown. */
  get places(): (number | null)[] {
    const bent = this.bent;
    return (this.draft?.guides ?? []).map((_, i) => {
      const ring = bent?.rings.find((one) => one.number === i + 1);
      return this.#moved[i] ?? (bent && ring ? bent.lengthMm - ring.fromButtMm : null);
    });
  }
  /** How far a guide may go, in mm from the tip. */
  room(index: number): { min: number; max: number } {
    const bent = this.bent;
    const reel = bent?.rings.find((ring) => ring.number === null)?.fromButtMm ?? 0;
    return roomOf(this.places, index, (bent?.lengthMm ?? 0) - reel);
  }
  /** Moves a guide along the rod; it stops before its neighbours. */
  move(index: number, mm: number): void {
    const guide = this.draft?.guides[index];
    if (!guide || this.places[index] === null) return;
    const { min, max } = this.room(index);
    const place = Math.round(Math.min(Math.max(mm, min), max) * 10) / 10;
    if (place === this.places[index]) return;
    this.#moved[index] = place;
    guide.fromTip = placeText(place, desk.inchesAlong);
    this.changed();
  }
  /** A place was typed over. */
  placeTyped(index: number): void {
    delete this.#moved[index];
  }

  /** One more on the side of the reel, like the last one, no farther from it than that from the next. */
  add(): void {
    if (!this.draft) return;
    const places = this.places;
    const bent = this.bent;
    const reel = bent?.rings.find((ring) => ring.number === null)?.fromButtMm ?? 0;
    const length = bent?.lengthMm ?? 0;
    const last = places.at(-1) ?? null;
    let guide: GuideDraft = { fromTip: '', ring: '10 mm', height: '15 mm', mass: '', turned: '' };
    const model = this.draft.guides.at(-1);
    if (model) guide = { ...$state.snapshot(model), fromTip: '' };
    let at: number | null = null;
    if (!model && length > 0) at = length * FIRST_SHARE;
    if (last !== null) {
      const gap = last - (places.at(-2) ?? 0);
      at = last + Math.min(gap, (length - reel - last) / 2);
    }
    if (at !== null) guide.fromTip = placeText(at, desk.inchesAlong);
    this.draft.guides.push(guide);
    this.changed();
  }
  remove(index: number): void {
    this.draft?.guides.splice(index, 1);
    this.#moved = {};
    this.changed();
  }

  space = () =>
    this.#replaced((draft) => ipc.spaceGuides(this.rod, draft, $state.snapshot(this.spacing)));
  improve = () => this.#replaced((draft) => ipc.improveLayout(this.rod, draft));
  /** Takes over a draft that the shell changed, unless it was changed here meanwhile. */
  async #replaced(ask: (draft: LayoutDraft) => Promise<LayoutView>): Promise<void> {
    const sent = this.plain;
    const view = await ask(sent);
    if (JSON.stringify(this.draft) !== JSON.stringify(sent)) {
      this.told = 'Something was changed meanwhile, so nothing was moved. Press again.';
      return;
    }
    this.#begin(view);
    this.told = view.told ?? '';
  }
}
