/** Where things lie on the time spine, upright or lying, and how they are drawn. */

import { draw, glyph } from "./markup.js";
import { asClock } from "./moments.js";

const EDGE = 10;
const SIGN = 10;
const STEPS = [1, 5, 10, 30, 60, 120, 300, 600, 1800, 3600];

export class SpineDrawing {
  #width;
  #height;
  #length;

  /** @param {number} width @param {number} height @param {number} length in seconds */
  constructor(width, height, length) {
    this.#width = width;
    this.#height = height;
    this.#length = length;
  }

  get #isUpright() {
    return this.#height > this.#width;
  }

  get #lanes() {
    return this.#isUpright || this.#height > 60 ? 3 : 2;
  }

  get #line() {
    return this.#isUpright ? 30 : 16;
  }

  /** Pixels along the ruler for a time. @param {number} at */
  #place(at) {
    const along = this.#isUpright ? this.#height : this.#width;
    return EDGE + (Math.min(at, this.#length) / this.#length) * (along - 2 * EDGE);
  }

  /** The time at a point of the spine. @param {number} x @param {number} y */
  timeAt(x, y) {
    const [along, size] = this.#isUpright ? [y, this.#height] : [x, this.#width];
    const share = (along - EDGE) / (size - 2 * EDGE);
    return Math.min(Math.max(0, share), 1) * this.#length;
  }

  /** A point: along the ruler and across it. @param {number} along @param {number} across */
  #point(along, across) {
    return this.#isUpright ? `${across} ${along}` : `${along} ${across}`;
  }

  /** Along the ruler. @param {number} from @param {number} to seconds */
  span(from, to) {
    const line = this.#line;
    return `M${this.#point(this.#place(from), line)}L${this.#point(this.#place(to), line)}`;
  }

  /** Across the whole spine. @param {number} at seconds */
  across(at) {
    const size = this.#isUpright ? this.#width : this.#height;
    return `M${this.#point(this.#place(at), 0)}L${this.#point(this.#place(at), size)}`;
  }

  ruler() {
    const line = this.#line;
    const parts = [draw("path", { class: "line", d: this.span(0, this.#length) })];
    const room = this.#isUpright ? 26 : 44;
    const step = STEPS.find((s) => this.#place(s) - EDGE >= room) ?? this.#length;
    for (let at = 0; at <= this.#length; at += step) {
      const y = this.#place(at);
      const d = `M${this.#point(y, line)}L${this.#point(y, line + 5)}`;
      const place = this.#isUpright
        ? { x: line - 4, y: y + 3, "text-anchor": "end" }
        : { x: y, y: 10, "text-anchor": "middle" };
      parts.push(draw("path", { class: "tick", d }), draw("text", place, asClock(at)));
    }
    return parts;
  }

  /**
   * Marks that lie close together go side by side, in two or three lanes.
   * @param {Record<string, any>[]} marks with a moment, in time order
   * @param {string} glyphs
   */
  marks(marks, glyphs) {
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
      const sign = glyph(glyphs, state);
      for (const [name, size] of Object.entries({ x, y, width: SIGN, height: SIGN }))
        sign.setAttribute(name, String(size));
      return sign;
    });
  }

  /** @param {number} at @param {string} kind */
  comment(at, kind) {
    const across = this.#isUpright ? 74 : 23 + this.#lanes * (SIGN + 1);
    const y = this.#place(at);
    const foot = across + 8;
    const d = `M${this.#point(y, across)}L${this.#point(y - 4, foot)}L${this.#point(y + 4, foot)}z`;
    return draw("path", { class: `comment ${kind}`, d });
  }
}
