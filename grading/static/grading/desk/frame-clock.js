import { allowedSpeed, Clock } from "./clock.js";
import {
  described,
  filled,
  isSecond,
  matches,
  readable,
  valueAt,
} from "./frame-messages.js";

/** @typedef {import("./frame-messages.js").Message} Message */

const TICK = 250;

/**
 * A recording in a host's frame, steered by messages. Those of any other origin or
 * window are not heard.
 */
export class FrameClock extends Clock {
  #frame;
  #origin;
  #says;
  /** @type {number | null} */
  #at = null;
  #reportedAt = 0;
  #isPaused = true;
  #speed = 1;
  /** @type {number | null} */
  #length = null;

  /**
   * @param {HTMLIFrameElement} frame
   * @param {string} origin of the host
   * @param {Message} messages
   * @param {AbortSignal} signal
   */
  constructor(frame, origin, messages, signal) {
    super();
    this.#frame = frame;
    this.#origin = origin;
    this.#says = described(messages);
    window.addEventListener("message", (event) => this.#hear(event), { signal });
    frame.addEventListener("load", () => this.#listen(), { signal });
    const timer = setInterval(() => {
      if (!this.#isPaused) this.tell("time");
    }, TICK);
    signal.addEventListener("abort", () => clearInterval(timer));
    this.#listen(); // it may have loaded before this module
  }

  now() {
    if (this.#at === null || this.#isPaused) return this.#at;
    const now =
      this.#at + ((performance.now() - this.#reportedAt) / 1000) * this.#speed;
    return this.#length === null ? now : Math.min(now, this.#length);
  }

  get length() {
    return this.#length;
  }

  get paused() {
    return this.#isPaused;
  }

  /** As set, or where the host alone sets it, as its reports show. */
  get speed() {
    return this.#speed;
  }

  set speed(speed) {
    if (!this.setsSpeed) return;
    this.#at = this.now();
    this.#reportedAt = performance.now();
    this.#speed = allowedSpeed(speed);
    this.#say(this.#says.speed, { speed: this.#speed });
    this.tell("state");
  }

  get setsSpeed() {
    return Boolean(this.#says.speed);
  }

  play() {
    this.#say(this.#says.play);
  }

  pause() {
    this.#say(this.#says.pause);
  }

  /** @param {number} seconds */
  seek(seconds) {
    const to = Math.min(Math.max(0, seconds), this.#length ?? seconds);
    this.#say(this.#says.seek, { seconds: to });
    this.#report(to, true);
  }

  #listen() {
    for (const message of this.#says.listen ?? []) this.#say(message);
  }

  /** @param {Message | undefined} message @param {Record<string, number>} [values] */
  #say(message, values = {}) {
    if (!message) return;
    const said = filled(message, values);
    this.#frame.contentWindow?.postMessage(
      this.#says.text ? JSON.stringify(said) : said,
      this.#origin,
    );
  }

  /** @param {MessageEvent} event */
  #hear({ origin, source, data }) {
    if (origin !== this.#origin || source !== this.#frame.contentWindow) return;
    const message = readable(data);
    if (!message) return;
    const { ready, time, playing, paused } = this.#says;
    if (ready && matches(message, ready)) this.#listen();
    if (playing && matches(message, playing)) this.#turn(false);
    if (paused && matches(message, paused)) this.#turn(true);
    if (time && matches(message, time.match)) {
      const length = time.length ? valueAt(message, time.length) : null;
      if (isSecond(length) && length !== this.#length) {
        this.#length = length;
        this.tell("length");
      }
      const seconds = valueAt(message, time.seconds);
      if (isSecond(seconds)) this.#report(seconds, false);
    }
  }

  /** @param {number} seconds @param {boolean} isJump */
  #report(seconds, isJump) {
    const past = (performance.now() - this.#reportedAt) / 1000;
    const step = this.#at === null ? 0 : seconds - this.#at;
    if (!isJump && !this.setsSpeed && !this.#isPaused && past > 0.2 && past < 2) {
      const speed = Math.round((step / past) * 4) / 4;
      if (speed >= 0.25 && speed <= 4) this.#speed = speed;
    }
    this.#at = seconds;
    this.#reportedAt = performance.now();
    this.tell("time");
  }

  /** @param {boolean} isPaused */
  #turn(isPaused) {
    this.#at = this.now();
    this.#reportedAt = performance.now();
    this.#isPaused = isPaused;
    this.tell("state");
  }
}
