// A signature that waits: for ten seconds an accidental press can be taken back. Until they are over
// nothing has left the screen.

export const SECONDS = 10;
/** A pedal that bounces closes twice within this time; that is one press. */
export const BOUNCE_MS = 700;

/** Tells a press from the bounce of the one before. */
export class Pedal {
  #last = -Infinity;

  /** Whether this is a press of its own. */
  presses(): boolean {
    const now = performance.now();
    if (now - this.#last < BOUNCE_MS) return false;
    this.#last = now;
    return true;
  }

  /** Something else was pressed in between: what comes next is no bounce. */
  forget(): void {
    this.#last = -Infinity;
  }
}

export class TakeBack {
  /** Whole seconds that are left; `null`: no signature waits. */
  left = $state<number | null>(null);
  /** What became of the last one, in a sentence; it is said aloud. */
  said = $state('');
  #timer: ReturnType<typeof setInterval> | undefined;
  #begun = 0;
  readonly #sign: () => Promise<unknown>;

  constructor(sign: () => Promise<unknown>) {
    this.#sign = sign;
  }

  get waits(): boolean {
    return this.left !== null;
  }

  begin(): void {
    if (this.waits) return;
    this.#begun = performance.now();
    this.left = SECONDS;
    this.said = `Signs in ${SECONDS} seconds. It can still be taken back.`;
    this.#timer = setInterval(() => {
      const gone = Math.floor((performance.now() - this.#begun) / 1000);
      if (gone >= SECONDS) void this.now();
      else this.left = SECONDS - gone;
    }, 200);
  }

  /** Signs at once. */
  async now(): Promise<void> {
    if (!this.waits) return;
    this.#stop();
    this.said = '';
    await this.#sign();
  }

  /** Whether it was pressed long enough ago that this is no bounce of the same press. */
  get settled(): boolean {
    return performance.now() - this.#begun >= BOUNCE_MS;
  }

  /** Takes it back; `why` in words, where nobody asked for it. */
  takeBack(why = ''): boolean {
    if (!this.waits) return false;
    this.#stop();
    this.said = `Taken back: nothing was signed.${why ? ` ${why}` : ''}`;
    return true;
  }

  #stop(): void {
    clearInterval(this.#timer);
    this.left = null;
  }
}
