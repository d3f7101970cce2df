/**
 * The ruler of the recording's time: parts played, every mark and comment at its moment,
 * and where it is now. A click or the arrows move the recording. Upright beside the
 * sheet, lying under the recording on narrow screens.
 *
 *   <time-spine></time-spine>
 */

import { draw, find } from "./markup.js";
import { asClock } from "./moments.js";
import { SpineDrawing } from "./spine-drawing.js";

/** @typedef {import("./desk.js").MarkingDesk} Desk */

// The length is not known before the recording is: a common one keeps the ruler calm.
const GUESS = 1200;
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
  #drawing = new SpineDrawing(0, 0, GUESS);

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

  #draw() {
    const desk = this.#desk;
    if (!desk || !this.clientHeight) return;
    this.#length =
      desk.clock.length ??
      desk.data.length ??
      desk.store.value("length")?.seconds ??
      GUESS;
    const { clientWidth: width, clientHeight: height } = this;
    this.#drawing = new SpineDrawing(width, height, this.#length);
    this.#svg.setAttribute("viewBox", `0 0 ${width} ${height}`);
    this.#svg.replaceChildren(
      this.#played,
      ...this.#drawing.ruler(),
      ...this.#drawing.marks(timed(desk, "element"), desk.glyphs),
      ...timed(desk, "comment").map(({ at, kind }) => this.#drawing.comment(at, kind)),
      this.#now,
    );
    this.#drawPlayed();
    this.#drawNow();
  }

  #drawPlayed() {
    const spans = this.#desk?.played.spans() ?? [];
    this.#played.replaceChildren(
      ...spans.map(([from, to]) => draw("path", { d: this.#drawing.span(from, to) })),
    );
  }

  #drawNow() {
    const now = this.#desk?.clock.now() ?? 0;
    this.#now.setAttribute("d", this.#drawing.across(now));
    this.setAttribute("aria-valuemax", String(Math.round(this.#length)));
    this.setAttribute("aria-valuenow", String(Math.round(now)));
    this.setAttribute("aria-valuetext", `${asClock(now)} of ${asClock(this.#length)}`);
  }

  /** @param {MouseEvent} event */
  #clicked(event) {
    const { left, top } = this.getBoundingClientRect();
    const at = this.#drawing.timeAt(event.clientX - left, event.clientY - top);
    this.#desk?.clock.seek(at);
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

/**
 * What has a moment, in time order.
 * @param {Desk} desk
 * @param {"element" | "comment"} kind
 */
function timed(desk, kind) {
  const values = desk.store.of(kind).map(([, value]) => value);
  return values.filter(({ at }) => at !== null).sort((a, b) => a.at - b.at);
}

customElements.define("time-spine", TimeSpine);
