/**
 * The sheet: one element is in focus; a key gives its state at the moment seen, and the
 * next open element comes into focus. In a site grid arrows walk the cells.
 *
 *   <marking-sheet><section data-section="opening">… <span class="element"
 *     data-target="element:opening.consent">…</span><a class="at">…</a></section>
 *   </marking-sheet>
 */

import { findAll } from "./markup.js";
import { asClock } from "./moments.js";
import { SheetKeys } from "./sheet-keys.js";
import { nextOpen } from "./sheet-order.js";
import { drawRow, levelWords, SheetCounts } from "./sheet-rows.js";

/** @typedef {import("./desk.js").MarkingDesk} Desk */

export class MarkingSheet extends HTMLElement {
  /** @type {HTMLElement[]} */
  rows = [];
  #at = 0;
  /** The element that got its state last, until the person moves on by hand. */
  justMarked = "";
  mayExcuseAny = this.hasAttribute("data-may-excuse-any");
  /** @type {SheetKeys | null} */
  keys = null;

  /** @param {Desk} desk */
  begin(desk) {
    this.desk = desk;
    this.rows = findAll(this, ".element", HTMLElement);
    const counts = new SheetCounts(desk);
    const { signal } = desk;
    for (const row of this.rows) {
      row.setAttribute("role", "button");
      row.setAttribute("aria-expanded", "false");
      row.tabIndex = -1;
      drawRow(desk, row);
    }
    counts.draw();
    desk.store.addEventListener(
      "change",
      (event) => {
        const targets = /** @type {CustomEvent<string[]>} */ (event).detail;
        for (const target of targets) {
          const row = this.rowOf(target);
          if (row) drawRow(desk, row);
        }
        counts.draw();
        this.#tell();
      },
      { signal },
    );
    this.addEventListener("click", (event) => this.#clicked(event), { signal });
    this.addEventListener("focusin", (event) => this.#focused(event), { signal });
    this.keys = new SheetKeys(desk, this);
    window.addEventListener("hashchange", () => this.#goToHash(), { signal });
  }

  /** The element that the address names, else the first open one, comes into focus. */
  open() {
    if (!this.#goToHash()) this.#show(this.#firstOpen());
  }

  get current() {
    return this.rows[this.#at];
  }

  get target() {
    return this.current.dataset.target ?? "";
  }

  /** @param {string} target */
  rowOf(target) {
    return this.rows.find((row) => row.dataset.target === target) ?? null;
  }

  /** @param {HTMLElement} row */
  isOpen(row) {
    return this.desk?.store.value(row.dataset.target ?? "") === null;
  }

  /** Brings a target into focus, where the sheet holds it. @param {string} target */
  goTo(target) {
    const row = this.rowOf(target);
    if (!row) return false;
    this.justMarked = "";
    this.#show(this.rows.indexOf(row));
    return true;
  }

  /** @param {number} index */
  moveTo(index) {
    this.justMarked = "";
    this.#show(Math.min(Math.max(0, index), this.rows.length - 1));
  }

  /** Brings the first element that is still open into focus. */
  goOn() {
    this.moveTo(this.#firstOpen());
  }

  /** Gives the focus back to the sheet. */
  refocus() {
    this.current.focus();
  }

  /**
   * Gives the element in focus a state here and now, and moves on.
   * @param {string} state
   * @param {{level?: number, reason?: string}} [more]
   */
  mark(state, more = {}) {
    const { desk, current: row, target } = this;
    if (!desk) return;
    const name = row.dataset.name ?? "";
    const word = more.level ? levelWords(row)[more.level - 1] : state;
    if (target === "rating") {
      desk.act("global rating", [{ target, value: { value: more.level } }]);
      desk.say(`Global rating: ${word}.`);
    } else {
      const { at, speed } = desk.stamp();
      desk.act(`${name}: ${word}`, [{ target, value: { state, at, speed, ...more } }]);
      desk.say(`${name}: ${word}${at === null ? "" : ` at ${asClock(at)}`}.`);
    }
    this.#show(nextOpen(this.rows, this.#at, (row) => this.isOpen(row)));
    this.justMarked = target === "rating" ? "" : target;
    this.#tell();
  }

  /** Moves the moment of the element in focus to where the recording is now. */
  restamp() {
    const { desk, target } = this;
    const value = desk?.store.value(target);
    const now = desk?.clock.now() ?? null;
    if (!desk || !value?.state || now === null) return;
    const at = Math.round(now * 1000) / 1000;
    desk.act("moment", [{ target, value: { ...value, at, speed: desk.clock.speed } }]);
    desk.say(`Its moment is ${asClock(at)}.`);
  }

  clear() {
    const { desk, target } = this;
    if (desk?.store.value(target)) desk.act("taken back", [{ target, value: null }]);
    this.refocus();
  }

  #firstOpen() {
    return Math.max(
      0,
      this.rows.findIndex((row) => this.isOpen(row)),
    );
  }

  /** @param {number} index */
  #show(index) {
    this.current.tabIndex = -1;
    this.#at = index;
    this.current.tabIndex = 0;
    this.current.focus();
    this.#tell();
  }

  /** @param {FocusEvent} event */
  #focused(event) {
    const row = event.target;
    if (!(row instanceof HTMLElement) || row === this.current) return;
    const index = this.rows.indexOf(row);
    if (index >= 0) this.moveTo(index);
  }

  /** @param {MouseEvent} event */
  #clicked(event) {
    if (!(event.target instanceof Element)) return;
    const row = event.target.closest(".element");
    if (row instanceof HTMLElement) this.moveTo(this.rows.indexOf(row));
    const link = event.target.closest("a.at");
    if (link instanceof HTMLElement && this.desk)
      this.desk.recording.follow(event, Number(link.dataset.at));
  }

  #goToHash() {
    const id = decodeURIComponent(location.hash.slice(1));
    const row = this.rows.find((row) => row.id === id);
    if (row) this.moveTo(this.rows.indexOf(row));
    return Boolean(row);
  }

  #tell() {
    this.dispatchEvent(new Event("move"));
  }
}

customElements.define("marking-sheet", MarkingSheet);
