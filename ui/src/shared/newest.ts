// Asks for what is newest: while one question is on its way, those that come meanwhile replace one another.

/** Waits for the next picture the screen draws. */
export type Frame = (then: () => void) => void;

const drawn: Frame = (then) => void requestAnimationFrame(then);

/**
 * Asks at most once a drawn frame, with no more than one question on its way. A question that was
 * overtaken before it went out is never asked; an answer always belongs to the newest one asked.
 */
export class Newest<Q, A> {
  #waiting: { question: Q } | null = null;
  #underWay = false;
  #stopped = false;
  readonly #ask: (question: Q) => Promise<A>;
  readonly #take: (answer: A, question: Q) => void;
  readonly #fail: (thrown: unknown) => void;
  readonly #frame: Frame;

  constructor(
    ask: (question: Q) => Promise<A>,
    take: (answer: A, question: Q) => void,
    fail: (thrown: unknown) => void = () => {},
    frame: Frame = drawn,
  ) {
    this.#ask = ask;
    this.#take = take;
    this.#fail = fail;
    this.#frame = frame;
  }

  /** Nothing waits and nothing is on its way: the last answer is of the last question. */
  get idle(): boolean {
    return !this.#underWay && this.#waiting === null;
  }

  put(question: Q): void {
    this.#waiting = { question };
    this.#next();
  }

  /** Drops what waits, and the answer that is on its way. */
  stop(): void {
    this.#stopped = true;
    this.#waiting = null;
  }

  #next(): void {
    if (this.#underWay || this.#waiting === null) return;
    this.#underWay = true;
    this.#frame(() => void this.#go());
  }

  async #go(): Promise<void> {
    const next = this.#waiting;
    this.#waiting = null;
    let settle = () => {};
    if (next && !this.#stopped) {
      try {
        const answer = await this.#ask(next.question);
        settle = () => this.#take(answer, next.question);
      } catch (thrown) {
        settle = () => this.#fail(thrown);
      }
    }
    this.#underWay = false;
    if (!this.#stopped) settle();
    this.#next();
  }
}
