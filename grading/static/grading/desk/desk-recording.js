/**
 * The recording and what steers it. Chooses the clock that the whole desk goes by.
 *
 *   <desk-recording data-plays="file|frame|window"><video>… <div class="companion">…
 *     <div class="controls" hidden>…</div></desk-recording>
 */

import { DeskClock, EVENTS } from "./clock.js";
import { FileClock } from "./file-clock.js";
import { FrameClock } from "./frame-clock.js";
import { find, findAll } from "./markup.js";
import { asClock, readClock } from "./moments.js";
import { WindowClock } from "./window-clock.js";

/** @typedef {import("./desk.js").MarkingDesk} Desk */

export class DeskRecording extends HTMLElement {
  /** @type {Desk | null} */
  #desk = null;
  #clock = new DeskClock();
  /** @type {WindowClock | null} */
  #companion = null;

  /** @param {Desk} desk */
  begin(desk) {
    this.#desk = desk;
    const { signal } = desk;
    for (const name of EVENTS)
      this.#clock.addEventListener(name, () => this.#draw(), { signal });
    this.#clock.addEventListener("length", () => this.#lengthKnown(), { signal });
    desk.store.addEventListener("change", () => this.#draw(), { signal });
    this.addEventListener("click", (event) => this.#clicked(event), { signal });
    this.addEventListener("keydown", (event) => this.#pressed(event), { signal });
    find(this, ".controls", HTMLElement).hidden = false;
    this.#choose(desk);
    this.#returnToPlace(desk);
    return this.#clock;
  }

  /** Where a moment is found from outside. @param {number | null} at */
  linkTo(at) {
    const { link } = this.#desk?.data.playback ?? {};
    return at === null ? link : `${link.split("#")[0]}#t=${at}`;
  }

  /**
   * A click on a moment: jumps where the recording plays here, else its link opens.
   * @param {Event} event
   * @param {number} at
   */
  follow(event, at) {
    this.#clock.seek(at);
    if (this.#companion) return;
    event.preventDefault();
    this.#desk?.sheet.refocus();
  }

  /** @param {1 | -1} by a quarter faster or slower */
  changeSpeed(by) {
    if (!this.#clock.setsSpeed)
      return this.#desk?.say("The recording's own player sets its speed.");
    this.#clock.speed += 0.25 * by;
    this.#desk?.say(`Speed ${this.#clock.speed}.`);
  }

  /** @param {Desk} desk */
  #choose({ data, signal }) {
    const { plays, origin, messages } = data.playback;
    const video = this.querySelector("video");
    const frame = this.querySelector("iframe");
    if (plays === "frame" && frame) {
      this.#clock.use(
        new FrameClock(frame, origin ?? location.origin, messages, signal),
      );
    } else if (plays === "file" && video && !cannotPlay(video)) {
      video.addEventListener("error", () => this.#stepAside(video), { signal });
      this.#clock.use(new FileClock(video, signal));
    } else this.#stepAside(video);
  }

  /** What cannot play here opens in its own window. @param {HTMLVideoElement | null} video */
  #stepAside(video) {
    const desk = this.#desk;
    if (!desk || this.#companion) return;
    find(this, ".companion", HTMLElement).hidden = false;
    if (video) video.hidden = true;
    const length = desk.data.length ?? desk.store.value("length")?.seconds ?? null;
    const key = `bellside-clock-${desk.data.marking}`;
    this.#companion = new WindowClock(key, length, desk.signal);
    this.#clock.use(this.#companion);
  }

  #draw() {
    const clock = this.#clock;
    const now = clock.now();
    const words = this.#companion ? ["Start", "Stop"] : ["Play", "Pause"];
    find(this, "[data-word]", HTMLElement).textContent = words[clock.paused ? 0 : 1];
    find(this, ".now", HTMLElement).textContent = asClock(now ?? 0);
    if (clock.length)
      find(this, ".of", HTMLElement).textContent = `of ${asClock(clock.length)}`;
    find(this, ".speed", HTMLElement).textContent = `${clock.speed}×`;
    for (const button of findAll(this, "[data-speed]", HTMLButtonElement))
      button.disabled = !clock.setsSpeed;
    for (const button of findAll(this, "[data-only]", HTMLElement))
      button.hidden = !this.#companion;
    find(this, "[data-length]", HTMLElement).hidden =
      !this.#companion || Boolean(this.#desk?.data.length);
    const start = this.#desk?.store.value("start")?.at ?? 0;
    find(this, "[data-start]", HTMLElement).textContent = asClock(start);
    find(this, "[data-link]", HTMLInputElement).value = this.linkTo(
      now && Math.floor(now),
    );
  }

  /** @param {KeyboardEvent} event */
  #pressed(event) {
    if (event.key === "Escape") this.#desk?.sheet.refocus();
    else if (event.key === "Enter" && event.target instanceof HTMLInputElement)
      event.target.closest("p")?.querySelector("button")?.click();
    else return;
    event.preventDefault();
  }

  /** @param {Event} event */
  #clicked(event) {
    const button =
      event.target instanceof Element ? event.target.closest("button") : null;
    if (!button) return;
    const clock = this.#clock;
    const now = clock.now() ?? 0;
    const { act, seek, speed } = button.dataset;
    if (seek) clock.seek(Math.max(0, now + Number(seek)));
    if (speed) this.changeSpeed(speed === "1" ? 1 : -1);
    if (act === "play" && clock.paused) clock.play();
    else if (act === "play") clock.pause();
    if (act === "start") this.#put("start", { at: Math.round(now * 1000) / 1000 });
    if (act === "goto") this.#read("[data-goto]", (seconds) => clock.seek(seconds));
    if (act === "length")
      this.#read("[data-set-length]", (seconds) => {
        this.#put("length", { seconds });
        this.#companion?.setLength(seconds);
      });
  }

  /** @param {string} place @param {(seconds: number) => void} use */
  #read(place, use) {
    const field = find(this, place, HTMLInputElement);
    const seconds = readClock(field.value);
    field.setAttribute("aria-invalid", String(seconds === null));
    if (seconds === null)
      this.#desk?.say("A moment is written m:ss, for example 12:40.");
    else use(seconds);
  }

  /** The player knows the length of a recording that was handed in without it. */
  #lengthKnown() {
    const desk = this.#desk;
    const { length } = this.#clock;
    if (!desk || !length || this.#companion) return;
    if (desk.data.length || desk.store.value("length")) return;
    const value = { seconds: Math.round(length * 1000) / 1000 };
    desk.put([{ target: "length", value }]);
  }

  /** @param {string} target @param {Record<string, any>} value */
  #put(target, value) {
    this.#desk?.act(target, [{ target, value }]);
  }

  /** Where this person left the recording on this device. @param {Desk} desk */
  async #returnToPlace(desk) {
    const { signal } = desk;
    const place = await desk.outbox.kept("position");
    if (place && !this.#companion && !this.#clock.now()) this.#clock.seek(place);
    let kept = place ?? 0;
    const keep = () => {
      const now = this.#clock.now();
      if (now === null || Math.abs(now - kept) < 2) return;
      kept = now;
      desk.outbox.keep("position", now);
    };
    this.#clock.addEventListener("time", keep, { signal });
  }
}

/** Playlists of segments play in some browsers only; others have failed by now. @param {HTMLVideoElement} video */
function cannotPlay(video) {
  if (video.error || video.networkState === HTMLMediaElement.NETWORK_NO_SOURCE)
    return true;
  const isPlaylist = /\.m3u8($|[?#])/i.test(video.getAttribute("src") ?? "");
  return isPlaylist && !video.canPlayType("application/vnd.apple.mpegurl");
}

customElements.define("desk-recording", DeskRecording);
