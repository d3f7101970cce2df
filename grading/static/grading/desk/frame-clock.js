/**
 * A recording in a host's frame, steered by messages that the site's settings describe:
 *
 *   {"preset": "player.js"}                the open player.js messages, or
 *   {"text": true,                         messages are JSON texts (else objects)
 *    "ready": {"event": "ready"},          names and values of the message that says so
 *    "listen": [{...}],                    sent once it is ready, so that it reports
 *    "play": {...}, "pause": {...},
 *    "seek": {"to": "{seconds}"},          {seconds} and {speed} are filled in
 *    "speed": {"rate": "{speed}"},         left out where the host cannot
 *    "time": {"match": {"event": "tick"}, "seconds": "value.at", "length": "value.of"},
 *    "playing": {"event": "play"}, "paused": {"event": "pause"}}
 *
 * Messages from any other origin or window are not heard.
 *
 * @typedef {Record<string, any>} Message
 */

import { allowedSpeed, Clock } from "./clock.js";

const PLAYER_JS = { context: "player.js", version: "0.0.11" };
/** @type {Record<string, Message>} */
const PRESETS = {
  "player.js": {
    text: true,
    ready: { context: "player.js", event: "ready" },
    listen: ["timeupdate", "play", "pause", "ended"].map((value) => ({
      ...PLAYER_JS,
      method: "addEventListener",
      value,
      listener: `bellside-${value}`,
    })),
    play: { ...PLAYER_JS, method: "play" },
    pause: { ...PLAYER_JS, method: "pause" },
    seek: { ...PLAYER_JS, method: "setCurrentTime", value: "{seconds}" },
    time: {
      match: { context: "player.js", event: "timeupdate" },
      seconds: "value.seconds",
      length: "value.duration",
    },
    playing: { context: "player.js", event: "play" },
    paused: { context: "player.js", event: "pause" },
  },
};
const TICK = 250;

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
    this.#says = messages.preset ? (PRESETS[messages.preset] ?? messages) : messages;
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
      const length = time.length ? at(message, time.length) : null;
      if (isSecond(length) && length !== this.#length) {
        this.#length = length;
        this.tell("length");
      }
      const seconds = at(message, time.seconds);
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

/** @param {any} data @returns {Message | null} */
function readable(data) {
  if (typeof data === "object") return data;
  try {
    const message = JSON.parse(data);
    return typeof message === "object" ? message : null;
  } catch {
    return null;
  }
}

/** @param {Message} message @param {Message} wanted */
function matches(message, wanted) {
  return Object.entries(wanted).every(([name, value]) => at(message, name) === value);
}

/** @param {Message} message @param {string} path names joined by dots */
function at(message, path) {
  return path
    .split(".")
    .reduce((found, name) => found?.[name], /** @type {any} */ (message));
}

/** @param {any} value @returns {value is number} */
function isSecond(value) {
  return typeof value === "number" && Number.isFinite(value) && value >= 0;
}

/** @param {any} template @param {Record<string, number>} values @returns {any} */
function filled(template, values) {
  if (Array.isArray(template)) return template.map((part) => filled(part, values));
  if (template && typeof template === "object")
    return Object.fromEntries(
      Object.entries(template).map(([name, part]) => [name, filled(part, values)]),
    );
  const name =
    typeof template === "string" ? /^\{(\w+)\}$/.exec(template)?.[1] : undefined;
  return name && name in values ? values[name] : template;
}
