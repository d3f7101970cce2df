/**
 * When to look at the server again: calmly while all is well, quickly for a sign-in,
 * and after failures at growing distances.
 */

const CALM = 15_000;
const SIGNED_OUT = 4_000;
const SHORTEST = 1000;
const LONGEST = 30_000;

export class Retry {
  #again;
  #pause = SHORTEST;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;

  /** @param {() => Promise<void>} again @param {AbortSignal} signal */
  constructor(again, signal) {
    this.#again = again;
    signal.addEventListener("abort", () => clearTimeout(this.#timer));
  }

  worked() {
    this.#pause = SHORTEST;
  }

  /** @param {import("./link.js").Standing} standing */
  failed(standing) {
    this.schedule(standing);
    this.#pause = Math.min(2 * this.#pause, LONGEST);
  }

  /** @param {import("./link.js").Standing} standing */
  schedule(standing) {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.#again(), this.#distance(standing));
  }

  /** @param {import("./link.js").Standing} standing */
  #distance(standing) {
    if (standing === "no network" || standing === "trouble") return this.#pause;
    const isOut = standing === "signed out" || standing === "another person";
    return isOut ? SIGNED_OUT : CALM;
  }
}
