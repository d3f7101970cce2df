/**
 * The ruler of the recording's time: parts played, every mark and comment at its moment,
 * and where it is now. A click or the arrows move the recording. Upright beside the
 * sheet, lying under the recording on narrow screens.
 *
 *   <time-spine></time-spine>
 */

import { draw, find, glyph } from "./markup.js";
import { asClock } from "./moments.js";

/** @typedef {import("./desk.js").MarkingDesk} Desk */

const EDGE = 10;
const SIGN = 10;
// The length is not known before the recording is: a common one keeps the ruler calm.
const GUESS = 1200;
const STEPS = [1, 5, 10, 30, 60, 120, 300, 600, 1800, 3600];
/** @type {Record<string, number>} */
const JUMPS = {
  ArrowUp: -5,
  ArrowLeft: -5,
  ArrowDown: 5,
  ArrowRight: 5,
  PageUp: -60,
  PageDown: 60,
};

export class TimeSpine extends HTMLElement {
  /** @type {Desk | null} */
  #desk = null;
  #svg = draw("svg", { "aria-hidden": "true" });
  #now = draw("path", { class: "now" });
  #played = draw("g", { class: "played" });
  #length = GUESS;

  /** @param {Desk} desk */
  begin(desk) {
    this.#desk = desk;
    const { signal } = desk;
    this.hidden = false;
    this.tabIndex = 0;
    this.setAttribute("role", "slider");
    this.setAttribute("aria-label", "Time of the recording");
    this.setAttribute("aria-valuemin", "0");
    this.replaceChildren(this.#svg);
    this.#lie(desk);
    const all = () => this.#draw();
    desk.store.addEventListener("change", all, { signal });
    desk.clock.addEventListener("length", all, { signal });
    desk.clock.addEventListener("time", () => this.#drawNow(), { signal });
    desk.played.addEventListener("played", () => this.#drawPlayed(), { signal });
    const sizes = new ResizeObserver(all);
    sizes.observe(this);
    signal.addEventListener("abort", () => sizes.disconnect());
    this.addEventListener("click", (event) => this.#clicked(event), { signal });
    this.addEventListener("keydown", (event) => this.#pressed(event), { signal });
  }

  /** On narrow screens it lies under the recording. @param {Desk} desk */
  #lie(desk) {
    const upright = find(desk, ".recording-zone", HTMLElement);
    const narrow = window.matchMedia("(max-width: 68rem)");
    const move = () => (narrow.matches ? desk.recording : upright).after(this);
    narrow.addEventListener("change", move, { signal: desk.signal });
    move();
  }

  get #isUpright() {
    return this.clientHeight > this.clientWidth;
  }

  get #lanes() {
    return this.#isUpright || this.clientHeight > 60 ? 3 : 2;
  }

  /** Pixels along the ruler for a time. @param {number} at */
  #place(at) {
    const along = this.#isUpright ? this.clientHeight : this.clientWidth;
    return EDGE + (Math.min(at, this.#length) / this.#length) * (along - 2 * EDGE);
  }

  /** A point: along the ruler and across it. @param {number} along @param {number} across */
  #point(along, across) {
    return this.#isUpright ? `${across} ${along}` : `${along} ${across}`;
  }

  #draw() {
    const desk = this.#desk;
    if (!desk || !this.clientHeight) return;
    this.#length =
      desk.clock.length ??
      desk.data.length ??
      desk.store.value("length")?.seconds ??
      GUESS;
    this.#svg.setAttribute("viewBox", `0 0 ${this.clientWidth} ${this.clientHeight}`);
    this.#svg.replaceChildren(
      this.#played,
      ...this.#ruler(),
      ...this.#marks(desk),
      ...this.#comments(desk),
      this.#now,
    );
    this.#drawPlayed();
    this.#drawNow();
  }

  #ruler() {
    const line = this.#isUpright ? 30 : 16;
    const along = this.#place(this.#length);
    const parts = [
      draw("path", {
        class: "line",
        d: `M${this.#point(EDGE, line)}L${this.#point(along, line)}`,
      }),
    ];
    const room = this.#isUpright ? 26 : 44;
    const step = STEPS.find((s) => this.#place(s) - EDGE >= room) ?? this.#length;
    for (let at = 0; at <= this.#length; at += step) {
      const y = this.#place(at);
      parts.push(
        draw("path", {
          class: "tick",
          d: `M${this.#point(y, line)}L${this.#point(y, line + 5)}`,
        }),
        draw(
          "text",
          this.#isUpright
            ? { x: line - 4, y: y + 3, "text-anchor": "end" }
            : { x: y, y: 10, "text-anchor": "middle" },
          asClock(at),
        ),
      );
    }
    return parts;
  }

  /** Marks that lie close together go side by side, in up to three lanes. @param {Desk} desk */
  #marks(desk) {
    const marks = desk.store
      .of("element")
      .map(([, value]) => value)
      .filter(({ at }) => at !== null)
      .sort((a, b) => a.at - b.at);
    const ends = Array(this.#lanes).fill(Number.NEGATIVE_INFINITY);
    return marks.map(({ at, state, level }) => {
      const along = this.#place(at) - SIGN / 2;
      const free = ends.findIndex((end) => end <= along);
      const lane = free < 0 ? ends.indexOf(Math.min(...ends)) : free;
      ends[lane] = along + SIGN;
      const across = (this.#isUpright ? 38 : 22) + lane * (SIGN + 1);
      const [x, y] = this.#isUpright ? [across, along] : [along, across];
      if (state === "level")
        return draw("text", { class: "level", x: x + 2, y: y + 9 }, String(level));
      const sign = glyph(desk.glyphs, state);
      for (const [name, size] of Object.entries({ x, y, width: SIGN, height: SIGN }))
        sign.setAttribute(name, String(size));
      return sign;
    });
  }

  /** @param {Desk} desk */
  #comments(desk) {
    const across = this.#isUpright ? 74 : 23 + this.#lanes * (SIGN + 1);
    return desk.store
      .of("comment")
      .filter(([, { at }]) => at !== null)
      .map(([, { at, kind }]) => {
        const y = this.#place(at);
        const d = `M${this.#point(y, across)}L${this.#point(y - 4, across + 8)}L${this.#point(y + 4, across + 8)}z`;
        return draw("path", { class: `comment ${kind}`, d });
      });
  }

  #drawPlayed() {
    const line = this.#isUpright ? 30 : 16;
    const spans = this.#desk?.played.spans() ?? [];
    this.#played.replaceChildren(
      ...spans.map(([from, to]) =>
        draw("path", {
          d: `M${this.#point(this.#place(from), line)}L${this.#point(this.#place(to), line)}`,
        }),
      ),
    );
  }

  #drawNow() {
    const now = this.#desk?.clock.now() ?? 0;
    const y = this.#place(now);
    const across = this.#isUpright ? this.clientWidth : this.clientHeight;
    this.#now.setAttribute("d", `M${this.#point(y, 0)}L${this.#point(y, across)}`);
    this.setAttribute("aria-valuemax", String(Math.round(this.#length)));
    this.setAttribute("aria-valuenow", String(Math.round(now)));
    this.setAttribute("aria-valuetext", `${asClock(now)} of ${asClock(this.#length)}`);
  }

  /** @param {MouseEvent} event */
  #clicked(event) {
    const box = this.getBoundingClientRect();
    const [along, size] = this.#isUpright
      ? [event.clientY - box.top, box.height]
      : [event.clientX - box.left, box.width];
    const share = (along - EDGE) / (size - 2 * EDGE);
    this.#desk?.clock.seek(Math.min(Math.max(0, share), 1) * this.#length);
    this.#desk?.sheet.refocus();
  }

  /** @param {KeyboardEvent} event */
  #pressed(event) {
    const clock = this.#desk?.clock;
    const jump = JUMPS[event.key];
    if (!clock) return;
    if (jump) clock.seek(Math.max(0, (clock.now() ?? 0) + jump));
    else if (event.key === "Home") clock.seek(0);
    else if (event.key === "End") clock.seek(this.#length);
    else if (event.key === "Escape") this.#desk?.sheet.refocus();
    else return;
    event.preventDefault();
  }
}

customElements.define("time-spine", TimeSpine);
