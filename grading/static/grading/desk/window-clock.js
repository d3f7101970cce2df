import { allowedSpeed, Clock } from "./clock.js";

const TICK = 250;

/**
 * The companion clock: the recording plays in a window of its own, and the marker starts
 * and sets this clock beside it. Where it stands outlives a reload of the page.
 */
export class WindowClock extends Clock {
  #key;
  #length;
  /** @type {{at: number | null, since: number | null, speed: number}} */
  #state = { at: null, since: null, speed: 1 };

  /** @param {string} key @param {number | null} length @param {AbortSignal} signal */
  constructor(key, length, signal) {
    super();
    this.#key = key;
    this.#length = length;
    try {
      const kept = sessionStorage.getItem(key);
      if (kept) this.#state = JSON.parse(kept);
    } catch {
      // a browser that keeps nothing starts at the beginning
    }
    const timer = setInterval(() => {
      if (!this.paused) this.tell("time");
    }, TICK);
    signal.addEventListener("abort", () => clearInterval(timer));
  }

  now() {
    const { at, since, speed } = this.#state;
    if (at === null || since === null) return at;
    const now = at + ((Date.now() - since) / 1000) * speed;
    return this.#length === null ? now : Math.min(now, this.#length);
  }

  get length() {
    return this.#length;
  }

  /** @param {number} seconds as the marker read it off the recording */
  setLength(seconds) {
    this.#length = seconds;
    this.tell("length");
  }

  get paused() {
    return this.#state.since === null;
  }

  get speed() {
    return this.#state.speed;
  }

  set speed(speed) {
    const { since } = this.#state;
    this.#put(this.now(), since === null ? null : Date.now(), allowedSpeed(speed));
    this.tell("state");
  }

  play() {
    this.#put(this.now() ?? 0, Date.now(), this.speed);
    this.tell("state");
  }

  pause() {
    this.#put(this.now(), null, this.speed);
    this.tell("state");
  }

  /** @param {number} seconds */
  seek(seconds) {
    this.#put(Math.max(0, seconds), this.paused ? null : Date.now(), this.speed);
    this.tell("time");
  }

  /** @param {number | null} at @param {number | null} since @param {number} speed */
  #put(at, since, speed) {
    this.#state = { at, since, speed };
    try {
      sessionStorage.setItem(this.#key, JSON.stringify(this.#state));
    } catch {
      // it runs all the same
    }
  }
}
