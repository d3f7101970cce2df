import { allowedSpeed, Clock } from "./clock.js";

/** A file that the browser plays itself (also HLS, where the browser can). */
export class FileClock extends Clock {
  #video;

  /** @param {HTMLVideoElement} video @param {AbortSignal} signal */
  constructor(video, signal) {
    super();
    this.#video = video;
    /** @type {Record<string, "time" | "state" | "length">} */
    const told = {
      timeupdate: "time",
      seeked: "time",
      play: "state",
      pause: "state",
      ended: "state",
      ratechange: "state",
      durationchange: "length",
    };
    for (const [name, ours] of Object.entries(told))
      video.addEventListener(name, () => this.tell(ours), { signal });
  }

  now() {
    return this.#video.readyState ? this.#video.currentTime : null;
  }

  get length() {
    return Number.isFinite(this.#video.duration) ? this.#video.duration : null;
  }

  get paused() {
    return this.#video.paused;
  }

  get speed() {
    return this.#video.playbackRate;
  }

  set speed(speed) {
    this.#video.playbackRate = allowedSpeed(speed);
  }

  play() {
    // A refusal (not loaded, not allowed) leaves it paused, which is shown.
    this.#video.play().catch(() => this.tell("state"));
  }

  pause() {
    this.#video.pause();
  }

  /** @param {number} seconds */
  seek(seconds) {
    this.#video.currentTime = Math.min(Math.max(0, seconds), this.length ?? seconds);
  }
}
