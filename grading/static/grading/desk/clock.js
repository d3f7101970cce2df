/**
 * Where the recording is. The desk knows this interface and not what plays: a file in
 * the page, a host's frame that speaks messages, or a window of its own beside a clock
 * that is started by hand.
 *
 * Events: "time" (a few times a second while it runs, and after each jump), "state"
 * (started, paused, another speed) and "length" (its length is known).
 */
export const SLOWEST = 0.5;
export const FASTEST = 3;
export const EVENTS = /** @type {const} */ (["time", "state", "length"]);

export class Clock extends EventTarget {
  /** Seconds into the recording, or null while nobody can know. @returns {number | null} */
  now() {
    return null;
  }

  /** Seconds, or null where it is not known. @returns {number | null} */
  get length() {
    return null;
  }

  get paused() {
    return true;
  }

  /** How fast it runs; 1 is as recorded. */
  get speed() {
    return 1;
  }

  set speed(_speed) {}

  /** Whether the speed can be set from here. */
  get setsSpeed() {
    return true;
  }

  play() {}

  pause() {}

  /** @param {number} _seconds */
  seek(_seconds) {}

  /** @param {typeof EVENTS[number]} name */
  tell(name) {
    this.dispatchEvent(new Event(name));
  }
}

/** One clock for the whole desk, whichever of the kinds is behind it. */
export class DeskClock extends Clock {
  #behind = new Clock();
  #ends = new AbortController();

  /** @param {Clock} clock */
  use(clock) {
    this.#ends.abort();
    this.#ends = new AbortController();
    this.#behind = clock;
    const { signal } = this.#ends;
    for (const name of EVENTS)
      clock.addEventListener(name, () => this.tell(name), { signal });
    for (const name of EVENTS) this.tell(name);
  }

  now() {
    return this.#behind.now();
  }

  get length() {
    return this.#behind.length;
  }

  get paused() {
    return this.#behind.paused;
  }

  get speed() {
    return this.#behind.speed;
  }

  set speed(speed) {
    this.#behind.speed = speed;
  }

  get setsSpeed() {
    return this.#behind.setsSpeed;
  }

  play() {
    this.#behind.play();
  }

  pause() {
    this.#behind.pause();
  }

  /** @param {number} seconds */
  seek(seconds) {
    this.#behind.seek(seconds);
  }
}

/** @param {number} speed */
export function allowedSpeed(speed) {
  return Math.min(FASTEST, Math.max(SLOWEST, Math.round(speed * 4) / 4));
}
