/**
 * Which parts of the recording were played on this page: spans of seconds, gathered
 * from the clock while it runs, and sent along with the saves.
 *
 * @typedef {[number, number]} Span
 */

// Clocks report a few times a second; a longer step is a jump, not playing.
const LONGEST_STEP = 2;

export class PlayedParts extends EventTarget {
  /** @type {Span | null} the part that is being played */
  #open = null;
  /** @type {Span[]} closed parts that are not yet sent */
  #fresh = [];
  /** @type {Span[]} all parts, for the spine */
  all;

  /** @param {Span[]} known as the server holds them */
  constructor(known) {
    super();
    this.all = known;
  }

  /** @param {import("./clock.js").Clock} clock @param {AbortSignal} signal */
  follow(clock, signal) {
    clock.addEventListener("time", () => this.#at(clock), { signal });
    clock.addEventListener("state", () => this.#at(clock), { signal });
  }

  /** @param {import("./clock.js").Clock} clock */
  #at(clock) {
    const now = clock.now();
    if (now === null) return this.#close();
    const step = this.#open ? now - this.#open[1] : -1;
    const goesOn = this.#open && step > -0.25 && step <= LONGEST_STEP * clock.speed;
    if (this.#open && goesOn) this.#open[1] = Math.max(now, this.#open[1]);
    else this.#close();
    if (clock.paused) this.#close();
    else this.#open ??= [now, now];
    this.dispatchEvent(new Event("played"));
  }

  #close() {
    if (this.#open && this.#open[1] > this.#open[0])
      this.#fresh.push(rounded(this.#open));
    this.#open = null;
  }

  /** Everything played, also what is not sent. @returns {Span[]} */
  spans() {
    return [...this.all, ...this.#fresh, ...(this.#open ? [this.#open] : [])];
  }

  /** What should go with the next save. @returns {Span[]} */
  unsent() {
    return [...this.#fresh];
  }

  /** Puts the part that is being played among those to send, and goes on with it. */
  cut() {
    if (!this.#open) return;
    const [, end] = this.#open;
    this.#close();
    this.#open = [end, end];
  }

  /** @param {Span[]} spans that the server now holds */
  sent(spans) {
    this.#fresh = this.#fresh.filter((span) => !spans.includes(span));
    this.all = merged([...this.all, ...spans]);
  }
}

/** @param {Span[]} spans @returns {Span[]} */
function merged(spans) {
  /** @type {Span[]} */
  const joined = [];
  for (const [start, end] of spans.sort((a, b) => a[0] - b[0])) {
    const last = joined[joined.length - 1];
    if (last && start <= last[1] + 1.5) last[1] = Math.max(last[1], end);
    else joined.push([start, end]);
  }
  return joined;
}

/** @param {Span} span @returns {Span} */
function rounded([start, end]) {
  return [Math.round(start * 1000) / 1000, Math.round(end * 1000) / 1000];
}
